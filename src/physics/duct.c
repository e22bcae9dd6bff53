/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/duct.h"

#include <math.h>

static double fourth(double x) { return x * x * (x * x); }

/* Churchill's powers are written out: the air circuit of a deck asks for them thousands of times,
 * and pow() is most of what that costs. */
fg_status fg_duct_friction(double reynolds, double roughness_ratio, double *factor) {
  if (!(reynolds > 0.0 && isfinite(reynolds)))
    return FG_EDOMAIN;
  if (!(roughness_ratio >= 0.0 && roughness_ratio <= 0.2))
    return FG_EDOMAIN;
  const double laminar = 8.0 / reynolds;
  /* The published form overflows below a Reynolds number of about 1, where it is laminar. */
  if (reynolds < 1.0) {
    *factor = 8.0 * laminar;
    return FG_OK;
  }
  const double rough = -2.457 * log(pow(7.0 / reynolds, 0.9) + 0.27 * roughness_ratio);
  const double sum = fourth(fourth(rough)) + fourth(fourth(37530.0 / reynolds));
  const double cube = laminar * laminar * laminar;
  *factor = 8.0 * pow(fourth(cube) + 1.0 / (sum * sqrt(sum)), 1.0 / 12.0);
  return FG_OK;
}

fg_status fg_duct_loss(double volume_m3_s, double length_m, double diameter_m,
                       double roughness_ratio, double losses, double density_kg_m3,
                       double viscosity_pa_s, double *loss_pa) {
  if (!(volume_m3_s >= 0.0 && length_m >= 0.0 && diameter_m > 0.0))
    return FG_EDOMAIN;
  if (volume_m3_s == 0.0) {
    *loss_pa = 0.0;
    return FG_OK;
  }
  const double speed = volume_m3_s / (0.25 * M_PI * diameter_m * diameter_m);
  double factor;
  const fg_status status = fg_duct_friction(density_kg_m3 * speed * diameter_m / viscosity_pa_s,
                                            roughness_ratio, &factor);
  if (status == FG_OK)
    *loss_pa = (factor * length_m / diameter_m + losses) * 0.5 * density_kg_m3 * speed * speed;
  return status;
}

fg_status fg_board_coefficient(double open_share, double *coefficient) {
  if (!(open_share >= 0.02 && open_share <= 1.0))
    return FG_EDOMAIN;
  const double s = open_share, contracted = 0.707 * sqrt(1.0 - s) + 1.0 - s;
  *coefficient = contracted * contracted / (s * s);
  return FG_OK;
}

double fg_orifice_volume(double area_m2, double pressure_pa, double density_kg_m3) {
  if (!(pressure_pa > 0.0))
    return 0.0;
  return 0.62 * area_m2 * sqrt(2.0 * pressure_pa / density_kg_m3);
}
