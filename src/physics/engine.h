/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_ENGINE_H
#define FLOURGOLD_ENGINE_H

#include <stdbool.h>

#include "flourgold/kinds.h"

/* A blower's engine. */

/* Share of sea-level power a piston engine without supercharging has left at an elevation:
 * 3 % less per 1000 ft above 500 ft.  Source: manufacturers' rule for small engines,
 * common practice.  Battery and mains motors keep all of it. */
double fg_engine_power(fg_blower_kind kind, double elevation_m);

/* Whether it burns fuel. */
bool fg_blower_is_engine(fg_blower_kind kind);

#define FG_PETROL_KG_M3 745.0     /* handbook value from memory */
#define FG_OIL_SHARE (1.0 / 50.0) /* of a two-stroke's fuel */

/* Fuel (m3/s) at a throttle (0-1) of an engine that burns `full_m3_s` at full throttle near sea
 * level: a fifth of that without load, four fifths in proportion to the fan's power, which is
 * throttle^3 of what the elevation (m) leaves.  0 for motors.  Estimate: model. */
double fg_blower_fuel(fg_blower_kind kind, double full_m3_s, double throttle, double elevation_m);

#endif
