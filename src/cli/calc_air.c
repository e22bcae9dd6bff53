/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/calc_formulas.h"
#include "flourgold/air.h"

static fg_status work_air(fg_calc_work *work) {
  fg_air air;
  fg_status status = fg_calc_air(work, &air);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "density_kg_m3", air.density_kg_m3);
  fg_calc_result(work, "viscosity_pa_s", air.viscosity_pa_s);
  fg_calc_result(work, "pressure_pa", air.pressure_pa);
  fg_calc_result(work, "temperature_k", air.temperature_k);
  return FG_OK;
}

const fg_calc fg_calc_of_air = {
    .name = "air",
    .title = "density and viscosity of air",
    .inputs = {FG_CALC_PLACE},
    .outputs = {{"density_kg_m3", "Density", FG_Q_GAS_DENSITY},
                {"viscosity_pa_s", "Viscosity", FG_Q_VISCOSITY},
                {"pressure_pa", "Pressure", FG_Q_BAROMETER},
                {"temperature_k", "Temperature", FG_Q_TEMPERATURE}},
    .source = "pressure and temperature: US Standard Atmosphere 1976; density: CIPM-2007, Picard "
              "et al., Metrologia 45:149, 2008; viscosity: Sutherland, as in the standard "
              "atmosphere",
    .example = "elevation=3000ft temperature=90F humidity=20%",
    .work = work_air,
};
