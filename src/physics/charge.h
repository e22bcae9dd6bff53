/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CHARGE_H
#define FLOURGOLD_CHARGE_H

#include "flourgold/status.h"

#define FG_VACUUM_PERMITTIVITY 8.8541878128e-12 /* F/m, CODATA 2018 */
#define FG_AIR_BREAKDOWN 3.0e6                  /* V/m */
#define FG_STATIC_HUMIDITY 0.70 /* above it charge leaks away: common practice, no source */

/* Largest surface charge (C/m2) that air bears: eps0 times the breakdown field. */
double fg_largest_charge(void);

/* Electrostatic pull on a flake that lies on a charged cloth, over its weight:
 * sigma^2/(2 eps0 rho g t), t the flake's thickness (m).  Pressure of a field on a
 * conductor, sigma^2/(2 eps0): any text on electrostatics. */
fg_status fg_static_pull(double thickness_m, double density_kg_m3, double charge_c_m2,
                         double *pull_over_weight);

#endif
