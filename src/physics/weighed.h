/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_WEIGHED_H
#define FLOURGOLD_WEIGHED_H

#include "flourgold/status.h"

/* Shares (0-1) of sand, silt and clay from the layers of a jar; they add to 1.  Layers are
 * taken as volumes of equal density.  FG_EDOMAIN for a negative layer or none at all. */
fg_status fg_jar_shares(const double layer_m[3], double share[3]);
/* One standard deviation of each share when the layers are read to errors of their own. */
fg_status fg_jar_errors(const double layer_m[3], const double error_m[3], double error[3]);

/* Texture class by the US triangle: sand, silt and clay shares of what is finer than 2 mm.
 * Source: Soil Science Division Staff, Soil Survey Manual, USDA Handbook 18, chapter 3. */
const char *fg_texture_class(double sand, double silt, double clay);

/* Water over dry mass from three weighings (kg): wet and dry with the pan, and the pan.
 * error: one standard deviation when each weighing is off by half a step of the scale. */
fg_status fg_moisture_weighed(double wet_kg, double dry_kg, double pan_kg, double step_kg,
                              double *moisture, double *error);

/* Thickness over diameter of `count` discs of a total mass (kg), diameter (m) and density
 * (kg/m3): 4 m/(pi rho D^3 n).  error: one standard deviation, from those of mass and
 * diameter. */
fg_status fg_flake_thickness(double count, double mass_kg, double mass_error_kg, double size_m,
                             double size_error_m, double density_kg_m3, double *ratio,
                             double *error);

#endif
