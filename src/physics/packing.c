/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/packing.h"

#include <math.h>
#include <stdbool.h>

#include "flourgold/air.h"

typedef struct ergun_terms {
  double viscous;  /* Pa/m per m/s */
  double inertial; /* Pa/m per (m/s)^2 */
} ergun_terms;

static fg_status terms_of(const fg_packing *packing, double density, double viscosity,
                          ergun_terms *terms) {
  const double e = packing->voidage, size = packing->sphericity * packing->diameter_m;
  if (!(e > 0.0 && e < 1.0 && size > 0.0 && density > 0.0 && viscosity > 0.0))
    return FG_EDOMAIN;
  const double e3 = e * e * e;
  terms->viscous = 150.0 * viscosity * (1.0 - e) * (1.0 - e) / (e3 * size * size);
  terms->inertial = 1.75 * density * (1.0 - e) / (e3 * size);
  return FG_OK;
}

fg_status fg_packing_gradient(const fg_packing *packing, double velocity_m_s, double density_kg_m3,
                              double viscosity_pa_s, double *gradient_pa_m) {
  ergun_terms t;
  if (!(velocity_m_s >= 0.0))
    return FG_EDOMAIN;
  const fg_status status = terms_of(packing, density_kg_m3, viscosity_pa_s, &t);
  if (status == FG_OK)
    *gradient_pa_m = (t.viscous + t.inertial * velocity_m_s) * velocity_m_s;
  return status;
}

fg_status fg_packing_velocity(const fg_packing *packing, double gradient_pa_m, double density_kg_m3,
                              double viscosity_pa_s, double *velocity_m_s) {
  ergun_terms t;
  if (!(gradient_pa_m >= 0.0))
    return FG_EDOMAIN;
  const fg_status status = terms_of(packing, density_kg_m3, viscosity_pa_s, &t);
  if (status != FG_OK)
    return status;
  /* Written without the difference of two large numbers. */
  *velocity_m_s = 2.0 * gradient_pa_m /
                  (t.viscous + sqrt(t.viscous * t.viscous + 4.0 * t.inertial * gradient_pa_m));
  return FG_OK;
}

static fg_status archimedes_velocity(double a, double b, double diameter, double grain,
                                     double density, double viscosity, double *velocity) {
  const bool valid = diameter > 0.0 && density > 0.0 && viscosity > 0.0 && grain > density;
  if (!valid)
    return FG_EDOMAIN;
  const double ar = diameter * diameter * diameter * density * (grain - density) * FG_GRAVITY /
                    (viscosity * viscosity);
  const double reynolds = b * ar / (sqrt(a * a + b * ar) + a);
  *velocity = reynolds * viscosity / (density * diameter);
  return FG_OK;
}

fg_status fg_packing_wen_yu(double diameter_m, double grain_kg_m3, double density_kg_m3,
                            double viscosity_pa_s, double *velocity_m_s) {
  return archimedes_velocity(33.7, 0.0408, diameter_m, grain_kg_m3, density_kg_m3, viscosity_pa_s,
                             velocity_m_s);
}

fg_status fg_packing_richardson(double diameter_m, double grain_kg_m3, double density_kg_m3,
                                double viscosity_pa_s, double *velocity_m_s) {
  return archimedes_velocity(25.7, 0.0365, diameter_m, grain_kg_m3, density_kg_m3, viscosity_pa_s,
                             velocity_m_s);
}
