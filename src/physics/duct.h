/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DUCT_H
#define FLOURGOLD_DUCT_H

#include "flourgold/status.h"

/* Darcy friction factor for any Reynolds number above 0, laminar to rough;
 * roughness_ratio e/D 0-0.2.  Source: Churchill, Chemical Engineering 84(24):91, 1977. */
fg_status fg_duct_friction(double reynolds, double roughness_ratio, double *factor);

/* Pressure (Pa) lost by a gas in a round duct: friction and `losses` velocity heads. */
fg_status fg_duct_loss(double volume_m3_s, double length_m, double diameter_m,
                       double roughness_ratio, double losses, double density_kg_m3,
                       double viscosity_pa_s, double *loss_pa);

/* Loss coefficient of a thin perforated board on the approach velocity, open share
 * 0.02-1: [0.707 sqrt(1 - s) + 1 - s]^2 / s^2.
 * Source: Idelchik, Handbook of Hydraulic Resistance, diagram 8-1, sharp edges. */
fg_status fg_board_coefficient(double open_share, double *coefficient);

/* Volume (m3/s) through an opening of an area (m2) at a pressure difference (Pa):
 * 0.62 A sqrt(2 p/rho), sharp edges.  Zero at p <= 0. */
double fg_orifice_volume(double area_m2, double pressure_pa, double density_kg_m3);

#endif
