/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Air through packed grains. */
#include "cli/calc_formulas.h"
#include "flourgold/air.h"
#include "flourgold/packing.h"

#define PACKING_DIAMETER                                                                           \
  {                                                                                                \
    "diameter", FG_Q_GRAIN_SIZE, .need = FG_CALC_NEEDED, .lowest = 1e-6, .highest = 0.1,           \
                                 .meaning = "of the grains, their Sauter mean"                     \
  }
#define PACKING_SPHERICITY                                                                         \
  {                                                                                                \
    "sphericity", FG_Q_NUMBER, .need = FG_CALC_STANDARD, .standard = 1.0, .lowest = 0.05,          \
                               .highest = 1.0, .meaning = "of the grains"                          \
  }
#define PACKING_VOIDAGE                                                                            \
  {                                                                                                \
    "voidage", FG_Q_SHARE, .need = FG_CALC_NEEDED, .lowest = 0.2, .highest = 0.9,                  \
                           .meaning = "share of the bed that is air"                               \
  }

static fg_packing packing_of(const fg_calc_work *work) {
  return (fg_packing){fg_calc_value(work, "diameter"), fg_calc_value(work, "sphericity"),
                      fg_calc_value(work, "voidage")};
}

static fg_status work_bed(fg_calc_work *work) {
  fg_gas gas = {0};
  double gradient;
  fg_packing packing = packing_of(work);
  fg_calc_plain_gas(work, &gas);
  fg_status status = fg_packing_gradient(&packing, fg_calc_value(work, "velocity"),
                                         gas.density_kg_m3, gas.viscosity_pa_s, &gradient);
  if (status == FG_OK)
    fg_calc_result(work, "loss_pa", gradient * fg_calc_value(work, "depth"));
  return status;
}

const fg_calc fg_calc_of_bed = {
    .name = "bed",
    .title = "pressure lost by a gas in a bed of grains at rest",
    .inputs = {{"velocity", FG_Q_SPEED, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 100.0,
                .meaning = "of the gas over the whole section"},
               PACKING_DIAMETER,
               PACKING_SPHERICITY,
               PACKING_VOIDAGE,
               {"depth", FG_Q_LENGTH, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 100.0,
                .meaning = "of the bed"},
               FG_CALC_GAS},
    .outputs = {{"loss_pa", "Pressure loss", FG_Q_PRESSURE}},
    .source = "Ergun, Chemical Engineering Progress 48:89, 1952",
    .example = "velocity=0.3m/s diameter=0.9mm sphericity=0.75 voidage=0.4 depth=10mm",
    .work = work_bed,
};

static fg_status work_fluidise(fg_calc_work *work) {
  fg_gas gas = {0};
  double density;
  fg_packing p = packing_of(work);
  fg_calc_plain_gas(work, &gas);
  fg_status status = fg_calc_density(work, &density);
  if (status != FG_OK)
    return status;
  if (density <= gas.density_kg_m3)
    return fg_calc_refuse(work, "density: %.6g kg/m3 does not sink in a gas of %.6g kg/m3", density,
                          gas.density_kg_m3);
  double weight = (1.0 - p.voidage) * (density - gas.density_kg_m3) * FG_GRAVITY;
  status = fg_packing_velocity(&p, weight, gas.density_kg_m3, gas.viscosity_pa_s,
                               fg_calc_place(work, "ergun_m_s"));
  if (status == FG_OK)
    status = fg_packing_wen_yu(p.diameter_m, density, gas.density_kg_m3, gas.viscosity_pa_s,
                               fg_calc_place(work, "wen_yu_m_s"));
  if (status == FG_OK)
    status = fg_packing_richardson(p.diameter_m, density, gas.density_kg_m3, gas.viscosity_pa_s,
                                   fg_calc_place(work, "richardson_m_s"));
  return status;
}

const fg_calc fg_calc_of_fluidise = {
    .name = "fluidise",
    .title = "least air that carries a level bed of grains",
    .inputs = {PACKING_DIAMETER, FG_CALC_DENSITY(FG_CALC_NEEDED), FG_CALC_OF_MINERAL,
               PACKING_SPHERICITY, PACKING_VOIDAGE, FG_CALC_GAS},
    .outputs = {{"ergun_m_s", "Ergun", FG_Q_SPEED},
                {"wen_yu_m_s", "Wen & Yu, any shape", FG_Q_SPEED},
                {"richardson_m_s", "Richardson, any shape", FG_Q_SPEED}},
    .source = "Ergun, Chem. Eng. Progress 48:89, 1952, set equal to the weight; Wen & Yu, Chem. "
              "Eng. Prog. Symp. 62:100, 1966; Richardson in Davidson & Harrison, Fluidization, "
              "1971",
    .example = "diameter=0.9mm density=2650kg/m3 sphericity=0.75 voidage=0.4",
    .work = work_fluidise,
};
