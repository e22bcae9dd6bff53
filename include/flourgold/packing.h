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

/* Pressure gradient (Pa/m) of gas at a superficial velocity >= 0 (m/s).
 * Source: Ergun, Chemical Engineering Progress 48:89, 1952, with sphericity times diameter. */
fg_status fg_packing_gradient(const fg_packing *packing, double velocity_m_s, double density_kg_m3,
                              double viscosity_pa_s, double *gradient_pa_m);

/* Velocity (m/s) at which that gradient reaches `gradient_pa_m` >= 0: the positive root of
 * the quadratic. */
fg_status fg_packing_velocity(const fg_packing *packing, double gradient_pa_m, double density_kg_m3,
                              double viscosity_pa_s, double *velocity_m_s);

/* Least fluidising velocity (m/s) from Ar = d^3 rho (rho_s - rho) g/mu^2 and
 * Re = sqrt(a^2 + b Ar) - a.  Wen & Yu, Chem. Eng. Prog. Symp. 62:100, 1966: 33.7, 0.0408;
 * Richardson in Davidson & Harrison, Fluidization, 1971: 25.7, 0.0365. */
fg_status fg_packing_wen_yu(double diameter_m, double grain_kg_m3, double density_kg_m3,
                            double viscosity_pa_s, double *velocity_m_s);
fg_status fg_packing_richardson(double diameter_m, double grain_kg_m3, double density_kg_m3,
                                double viscosity_pa_s, double *velocity_m_s);

#ifdef __cplusplus
}
#endif

#endif
