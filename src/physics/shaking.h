/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SHAKING_H
#define FLOURGOLD_SHAKING_H

#include "flourgold/shaker.h"
#include "flourgold/status.h"

/* How a box on springs shakes, and the bed on it. */

/* Stroke amplitude of a spring-carried mass under a rotating unbalance, as M X/(m e):
 * r^2/sqrt((1 - r^2)^2 + (2 z r)^2), r = speed over natural frequency >= 0, z damping
 * ratio >= 0.  FG_EDOMAIN at undamped resonance.  Source: any vibration text, for
 * instance Thomson, Theory of Vibration, section 3.2. */
fg_status fg_unbalance_response(double ratio, double damping, double *response);

/* Force passed to the ground over the exciting force:
 * sqrt((1 + (2 z r)^2)/((1 - r^2)^2 + (2 z r)^2)).  Same source. */
fg_status fg_transmissibility(double ratio, double damping, double *transmissibility);

/* Shake of a box of `mass_kg`, natural frequency (Hz) and damping ratio when empty, with
 * `gravel_kg` riding on it (which lowers both), unbalance m e (kg m), rotor speed (Hz). */
fg_status fg_shaker_stroke(double mass_kg, double gravel_kg, double unbalance_kg_m,
                           double natural_hz, double damping, double speed_hz, fg_shake *shake);

/* Share of a side-to-side stroke by which a load slips over the shaken slope it lies on: first
 * harmonic of its speed over the deck's.  gamma: peak acceleration over gravity; friction: friction
 * coefficient times normal force, over the load's weight; slope (rad).  Slope and shake pull at
 * right angles: the load sticks (0) while gamma^2 + sin^2 slope <= friction^2, so a load that
 * slides by itself always slips (1); beyond, Coulomb's friction is integrated over a period in
 * closed form, stick-slip or slipping all the time, with the friction that the slope leaves for the
 * side.  Exact on a level deck; on a slope within 0.08 of the integration both ways while friction
 * is 1.3 times the pull or more.  Derived here. */
double fg_slip_share(double gamma, double friction, double slope_rad);

#endif
