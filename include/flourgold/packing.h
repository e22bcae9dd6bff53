/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_PACKING_H
#define FLOURGOLD_PACKING_H

#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Grains packed to a voidage, as air sees them. */
typedef struct fg_packing {
  double diameter_m; /* Sauter mean of the sieve sizes */
  double sphericity;
  double voidage; /* 0.2-0.9 */
} fg_packing;

/* Pressure gradient (Pa/m) of gas of a density (kg/m3) and viscosity (Pa s) at a superficial
 * velocity >= 0 (m/s).  FG_EDOMAIN for one below 0, a voidage outside 0-1, or a size, density or
 * viscosity that is not above 0.  The correlation's
 * own accuracy is some 25 % (value from memory).
 * Source: Ergun, Chemical Engineering Progress 48:89, 1952, with sphericity times diameter. */
fg_status fg_packing_gradient(const fg_packing *packing, double velocity_m_s, double density_kg_m3,
                              double viscosity_pa_s, double *gradient_pa_m);

/* Superficial velocity (m/s) at which that gradient reaches `gradient_pa_m` >= 0: the positive root
 * of the quadratic.  FG_EDOMAIN as above. */
fg_status fg_packing_velocity(const fg_packing *packing, double gradient_pa_m, double density_kg_m3,
                              double viscosity_pa_s, double *velocity_m_s);

/* Least fluidising velocity (m/s, superficial) of grains of a diameter (m) and density (kg/m3) in
 * gas of a density (kg/m3), less than theirs, and viscosity (Pa s), FG_EDOMAIN otherwise: from
 * Ar = d^3 rho (rho_s - rho) g/mu^2 and Re = sqrt(a^2 + b Ar) - a.
 * Source: Wen & Yu, Chem. Eng. Prog. Symp. 62:100, 1966: a 33.7, b 0.0408; Richardson in Davidson &
 * Harrison, Fluidization, 1971: a 25.7, b 0.0365. */
fg_status fg_packing_wen_yu(double diameter_m, double grain_kg_m3, double density_kg_m3,
                            double viscosity_pa_s, double *velocity_m_s);
fg_status fg_packing_richardson(double diameter_m, double grain_kg_m3, double density_kg_m3,
                                double viscosity_pa_s, double *velocity_m_s);

#ifdef __cplusplus
}
#endif

#endif
