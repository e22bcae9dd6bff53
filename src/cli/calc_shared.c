/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs that several formulas share: the gas, the grain's density and its shape. */
#include <stdio.h>

#include "cli/calc.h"
#include "flourgold/air.h"
#include "physics/grains.h"
#include "physics/laws.h"

static const double native_gold_kg_m3 = 17500.0;
static const double usual_k = 293.15; /* 20 C */

void fg_calc_plain_gas(fg_calc_work *work, fg_gas *gas) {
  fg_air usual;
  if (fg_air_at(usual_k, FG_STANDARD_PRESSURE, 0.0, &usual) != FG_OK)
    return;
  fg_calc_fill(work, "gas_density", usual.density_kg_m3, FG_CALC_ASSUMED);
  fg_calc_fill(work, "viscosity", usual.viscosity_pa_s, FG_CALC_ASSUMED);
  gas->density_kg_m3 = fg_calc_value(work, "gas_density");
  gas->viscosity_pa_s = fg_calc_value(work, "viscosity");
}

fg_status fg_calc_air(fg_calc_work *work, fg_air *air) {
  double kelvin;
  double pascal;
  if (!fg_calc_given(work, "pressure"))
    fg_calc_fill(work, "elevation", 0.0, FG_CALC_ASSUMED);
  double elevation = fg_calc_given(work, "pressure") ? 0.0 : fg_calc_value(work, "elevation");
  fg_status status = fg_air_standard(elevation, &kelvin, &pascal);
  if (status != FG_OK)
    return status;
  fg_calc_fill(work, "temperature", kelvin, FG_CALC_ASSUMED);
  fg_calc_fill(work, "humidity", 0.0, FG_CALC_ASSUMED);
  fg_calc_fill(work, "pressure", pascal, FG_CALC_DERIVED);
  status = fg_air_at(fg_calc_value(work, "temperature"), fg_calc_value(work, "pressure"),
                     fg_calc_value(work, "humidity"), air);
  if (status == FG_EDOMAIN)
    return fg_calc_refuse(work, "temperature, humidity, pressure: air cannot hold that much "
                                "vapour; lower temperature or humidity");
  return status;
}

fg_status fg_calc_density(fg_calc_work *work, double *density_kg_m3) {
  double density = native_gold_kg_m3;
  fg_calc_origin origin = FG_CALC_DERIVED;
  if (fg_calc_given(work, "fineness")) {
    fg_status status = fg_grain_gold_density(fg_calc_value(work, "fineness"), &density);
    if (status != FG_OK)
      return status;
  } else if (fg_calc_given(work, "mineral")) {
    density = fg_minerals[(size_t)fg_calc_value(work, "mineral")].density_kg_m3;
  } else {
    origin = FG_CALC_ASSUMED;
  }
  fg_calc_fill(work, "density", density, origin);
  *density_kg_m3 = fg_calc_value(work, "density");
  return FG_OK;
}

fg_status fg_calc_shape(fg_calc_work *work, fg_shape *shape) {
  if (fg_calc_given(work, "thickness_ratio")) {
    fg_status status = fg_grain_disc(fg_calc_value(work, "thickness_ratio"), shape);
    if (status == FG_OK)
      fg_calc_fill(work, "sphericity", shape->sphericity, FG_CALC_DERIVED);
    return status;
  }
  double usual = 1.0;
  if (fg_calc_given(work, "mineral"))
    usual = fg_minerals[(size_t)fg_calc_value(work, "mineral")].sphericity;
  fg_calc_fill(work, "sphericity", usual, FG_CALC_ASSUMED);
  return fg_grain_of_sphericity(fg_calc_value(work, "sphericity"), shape);
}

fg_status fg_calc_law_covers(fg_calc_work *work, int law, double sphericity, double reynolds) {
  const fg_drag_law *row = &fg_drag_laws[law];
  if (row->least_sphericity >= 1.0 && sphericity < 1.0)
    return fg_calc_refuse(work, "law: %s covers spheres only (sphericity 1); this grain has %.4g",
                          row->name, sphericity);
  if (sphericity < row->least_sphericity)
    return fg_calc_refuse(work, "law: %s covers sphericities from %g to 1, and this grain has %.4g",
                          row->name, row->least_sphericity, sphericity);
  if (law == FG_DRAG_GANSER && sphericity > 0.9)
    (void)snprintf(
        work->note, sizeof work->note,
        "This law is meant for discs; for a sphere it gives up to a quarter too little drag.");
  if (!(reynolds <= row->most_reynolds))
    return fg_calc_refuse(work, "law: %s covers Reynolds numbers up to %g, and this one is %.4g",
                          row->name, row->most_reynolds, reynolds);
  return FG_OK;
}
