/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/drag.h"

#include <math.h>

#include "core/roots.h"
#include "flourgold/air.h"
#include "physics/drag_internal.h"
#include "physics/grains.h"
#include "physics/laws.h"

/* A law is one row here and one file of its own.  Laws that know flakes share the chance evenly
 * (common practice, no source); one for spheres has none. */
const fg_drag_law fg_drag_laws[FG_DRAG_COUNT] = {
    {"haider_levenspiel", fg_drag_haider_levenspiel, 0.02, 2.6e5, 0.25, "Haider & Levenspiel 1989",
     "Haider & Levenspiel, Powder Technology 58:63, 1989"},
    {"ganser", fg_drag_ganser, 0.02, 2.6e5, 0.25, "Ganser 1993",
     "Ganser, Powder Technology 77:143, 1993"},
    {"bagheri_bonadonna", fg_drag_bagheri_bonadonna, 0.02, 3e5, 0.25, "Bagheri & Bonadonna 2016",
     "Bagheri & Bonadonna, Powder Technology 301:526, 2016"},
    {"hoelzer_sommerfeld", fg_drag_hoelzer_sommerfeld, 0.02, 1e5, 0.25, "Hoelzer & Sommerfeld 2008",
     "Hoelzer & Sommerfeld, Powder Technology 184:361, 2008"},
    {"brown_lawler", fg_drag_brown_lawler, 1.0, 2e5, 0.0, "Brown & Lawler 2003 (spheres)",
     "Brown & Lawler, J. Environ. Eng. 129:222, 2003"},
};

const char *const fg_drag_law_names[FG_DRAG_COUNT + 1] = {
    "haider_levenspiel", "ganser", "bagheri_bonadonna", "hoelzer_sommerfeld", "brown_lawler", NULL};

const fg_drag_law *fg_drag_law_of(int law) {
  return law >= 0 && law < FG_DRAG_COUNT ? &fg_drag_laws[law] : NULL;
}

fg_status fg_drag_coefficient(int law, double reynolds, const fg_shape *shape, double density_ratio,
                              double *coefficient) {
  if (law < 0 || law >= FG_DRAG_COUNT)
    return FG_EDOMAIN;
  const fg_drag_law *row = &fg_drag_laws[law];
  if (!(reynolds > 0.0 && reynolds <= row->most_reynolds))
    return FG_EDOMAIN;
  if (!(shape->sphericity >= row->least_sphericity && shape->sphericity <= 1.0))
    return FG_EDOMAIN;
  if (!(density_ratio > 0.0))
    return FG_EDOMAIN;
  *coefficient = row->coefficient(reynolds, shape, density_ratio);
  return isfinite(*coefficient) ? FG_OK : FG_EDOMAIN;
}

double fg_drag_force(int law, const fg_grain *grain, const fg_gas *gas, double speed_m_s) {
  if (!(speed_m_s > 0.0))
    return 0.0;
  const double reynolds = gas->density_kg_m3 * speed_m_s * grain->dv_m / gas->viscosity_pa_s;
  const double cd = fg_drag_laws[law].coefficient(reynolds, &grain->shape,
                                                  grain->density_kg_m3 / gas->density_kg_m3);
  const double area = 0.25 * M_PI * grain->dv_m * grain->dv_m;
  return 0.5 * gas->density_kg_m3 * speed_m_s * speed_m_s * cd * area;
}

typedef struct drag_case {
  int law;
  const fg_grain *grain;
  const fg_gas *gas;
  double force_n;
} drag_case;

static double drag_gap(double log_speed, void *context) {
  const drag_case *c = context;
  return log(fg_drag_force(c->law, c->grain, c->gas, exp(log_speed)) / c->force_n);
}

fg_status fg_drag_speed(int law, const fg_grain *grain, const fg_gas *gas, double force_n,
                        double *speed_m_s) {
  if (law < 0 || law >= FG_DRAG_COUNT || !(force_n >= 0.0) || !(grain->dv_m > 0.0))
    return FG_EDOMAIN;
  if (grain->shape.sphericity < fg_drag_laws[law].least_sphericity)
    return FG_EDOMAIN;
  if (force_n == 0.0) {
    *speed_m_s = 0.0;
    return FG_OK;
  }
  drag_case c = {law, grain, gas, force_n};
  /* No grain is slower than in Stokes' law divided by a large shape factor, and none
   * faster than at a drag coefficient of 0.02. */
  const double stokes = force_n / (3.0 * M_PI * gas->viscosity_pa_s * grain->dv_m);
  const double newton =
      sqrt(force_n / (0.5 * gas->density_kg_m3 * 0.02 * 0.25 * M_PI)) / grain->dv_m;
  const double low = log(fmin(stokes, newton)) - 12.0, high = log(fmin(stokes, newton)) + 6.0;
  /* Begun where Stokes' law and a drag coefficient of 1 meet. */
  const double guess = log(1.0 / (1.0 / stokes + sqrt(50.0) / newton));
  double log_speed;
  const fg_status status = fg_root_near(drag_gap, &c, guess, low, high, 1e-12, &log_speed);
  if (status == FG_OK)
    *speed_m_s = exp(log_speed);
  return status;
}

double fg_grain_weight(const fg_grain *grain, const fg_gas *gas) {
  const double volume = M_PI / 6.0 * grain->dv_m * grain->dv_m * grain->dv_m;
  return (grain->density_kg_m3 - gas->density_kg_m3) * FG_GRAVITY * volume;
}
