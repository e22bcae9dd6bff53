/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single grains: their drag, their fall, their mass. */
#include "cli/calc_formulas.h"
#include "flourgold/air.h"
#include "flourgold/grain.h"
#include "flourgold/settling.h"
#include "physics/grains.h"
#include "physics/laws.h"

static fg_status work_drag(fg_calc_work *work) {
  fg_shape shape;
  double coefficient;
  int law = (int)fg_calc_value(work, "law");
  double reynolds = fg_calc_value(work, "reynolds");
  fg_status status = fg_calc_shape(work, &shape);
  if (status == FG_OK)
    status = fg_calc_law_covers(work, law, shape.sphericity, reynolds);
  if (status == FG_OK)
    status = fg_drag_coefficient(law, reynolds, &shape, fg_calc_value(work, "density_ratio"),
                                 &coefficient);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "drag_coefficient", coefficient);
  fg_calc_result(work, "stokes_multiple", coefficient * reynolds / 24.0);
  fg_calc_result(work, "width_ratio", shape.broad_ratio);
  work->source = fg_drag_laws[law].source;
  return FG_OK;
}

const fg_calc fg_calc_of_drag = {
    .name = "drag",
    .title = "drag coefficient of a grain, on the section of the equal-volume sphere",
    .inputs = {FG_CALC_LAW,
               {"reynolds", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 1e-9, .highest = 3e5,
                .meaning = "Reynolds number with the equal-volume diameter"},
               FG_CALC_SPHERICITY("1, a sphere, or the disc's"),
               FG_CALC_THICKNESS_RATIO(FG_CALC_OPTIONAL),
               {"density_ratio", FG_Q_NUMBER, .need = FG_CALC_STANDARD, .standard = 2200.0,
                .lowest = 0.1, .highest = 1e5,
                .meaning = "grain over gas; only bagheri_bonadonna depends on it"}},
    .outputs = {{"drag_coefficient", "Drag coefficient", FG_Q_NUMBER},
                {"stokes_multiple", "Drag over Stokes' drag of the sphere", FG_Q_NUMBER},
                {"width_ratio", "Widest over equal-volume diameter", FG_Q_NUMBER}},
    .source = "the law's own",
    .example = "reynolds=100 thickness_ratio=0.1 law=ganser",
    .work = work_drag,
};

static bool any_given(const fg_calc_work *work, const char *const *names) {
  for (; *names; ++names)
    if (fg_calc_given(work, *names))
      return true;
  return false;
}

/* The gas of `settle`: plainly given, or the air of a place. */
static fg_status settling_gas(fg_calc_work *work, fg_gas *gas) {
  static const char *const plain[] = {"gas_density", "viscosity", NULL};
  static const char *const place[] = {"elevation", "temperature", "humidity", "pressure", NULL};
  if (any_given(work, place) && any_given(work, plain))
    return fg_calc_refuse(work, "gas_density, viscosity: give these or the air's elevation, "
                                "temperature, humidity and pressure, not both");
  if (any_given(work, place)) {
    fg_air air;
    fg_status status = fg_calc_air(work, &air);
    if (status != FG_OK)
      return status;
    fg_calc_fill(work, "gas_density", air.density_kg_m3, FG_CALC_DERIVED);
    fg_calc_fill(work, "viscosity", air.viscosity_pa_s, FG_CALC_DERIVED);
  }
  fg_calc_plain_gas(work, gas);
  return FG_OK;
}

static fg_status settling_grain(fg_calc_work *work, fg_grain *grain) {
  grain->dv_m = fg_calc_value(work, "diameter");
  fg_status status = fg_calc_density(work, &grain->density_kg_m3);
  if (status == FG_OK)
    status = fg_calc_shape(work, &grain->shape);
  if (status == FG_OK && fg_calc_given(work, "thickness_ratio"))
    grain->dv_m = fg_disc_equal_volume(grain->dv_m, fg_calc_value(work, "thickness_ratio"));
  return status;
}

static fg_status report_settling(fg_calc_work *work, int law, const fg_grain *grain,
                                 const fg_gas *gas, double speed) {
  double coefficient;
  double reynolds = gas->density_kg_m3 * speed * grain->dv_m / gas->viscosity_pa_s;
  fg_status status = fg_calc_law_covers(work, law, grain->shape.sphericity, reynolds);
  if (status == FG_OK)
    status = fg_drag_coefficient(law, reynolds, &grain->shape,
                                 grain->density_kg_m3 / gas->density_kg_m3, &coefficient);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "velocity_m_s", speed);
  fg_calc_result(work, "reynolds", reynolds);
  fg_calc_result(work, "drag_coefficient", coefficient);
  fg_calc_result(work, "equal_volume_mm", grain->dv_m);
  work->source = fg_drag_laws[law].source;
  return FG_OK;
}

static fg_status work_settle(fg_calc_work *work) {
  fg_gas gas = {0};
  fg_grain grain;
  double speed;
  int law = (int)fg_calc_value(work, "law");
  fg_status status = settling_gas(work, &gas);
  if (status == FG_OK)
    status = settling_grain(work, &grain);
  if (status == FG_OK)
    status = fg_calc_law_covers(work, law, grain.shape.sphericity, 0.0);
  if (status != FG_OK)
    return status;
  if (grain.density_kg_m3 <= gas.density_kg_m3)
    return fg_calc_refuse(work, "density: %.6g kg/m3 does not sink in a gas of %.6g kg/m3",
                          grain.density_kg_m3, gas.density_kg_m3);
  status = fg_settling_velocity(law, &grain, &gas, &speed);
  return status == FG_OK ? report_settling(work, law, &grain, &gas, speed) : status;
}

const fg_calc fg_calc_of_settle = {
    .name = "settle",
    .title = "settling velocity of a grain in still air",
    .inputs = {{"diameter", FG_Q_GRAIN_SIZE, .need = FG_CALC_NEEDED, .lowest = 1e-6, .highest = 0.1,
                .meaning = "of the equal-volume sphere; with thickness_ratio of the disc itself, "
                           "its sieve size"},
               FG_CALC_DENSITY(FG_CALC_NEEDED),
               FG_CALC_OF_MINERAL,
               FG_CALC_FINENESS,
               FG_CALC_SPHERICITY("1, a sphere, or the mineral's or the disc's"),
               FG_CALC_THICKNESS_RATIO(FG_CALC_OPTIONAL),
               FG_CALC_LAW,
               FG_CALC_GAS,
               FG_CALC_PLACE},
    .outputs = {{"velocity_m_s", "Settling velocity", FG_Q_SPEED},
                {"reynolds", "Reynolds number", FG_Q_NUMBER},
                {"drag_coefficient", "Drag coefficient", FG_Q_NUMBER},
                {"equal_volume_mm", "Equal-volume diameter", FG_Q_GRAIN_SIZE}},
    .source = "the law's own",
    .example = "diameter='60 mesh' density=17.5g/cm3 thickness_ratio=0.2 elevation=2500ft",
    .work = work_settle,
};

static fg_status work_grain(fg_calc_work *work) {
  fg_shape shape;
  double density;
  double diameter = fg_calc_value(work, "diameter");
  double ratio = fg_calc_value(work, "thickness_ratio");
  fg_status status = fg_calc_density(work, &density);
  if (status == FG_OK)
    status = fg_grain_disc(ratio, &shape);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "mass_mg", fg_disc_mass(diameter, ratio, density));
  fg_calc_result(work, "equal_volume_mm", fg_disc_equal_volume(diameter, ratio));
  fg_calc_result(work, "sphericity", shape.sphericity);
  return FG_OK;
}

const fg_calc fg_calc_of_grain = {
    .name = "grain",
    .title = "mass and shape of a gold flake, taken as a disc",
    .inputs = {{"diameter", FG_Q_GRAIN_SIZE, .need = FG_CALC_NEEDED, .lowest = 1e-6, .highest = 0.1,
                .meaning = "of the disc, its sieve size"},
               FG_CALC_THICKNESS_RATIO(FG_CALC_NEEDED),
               FG_CALC_DENSITY(FG_CALC_OPTIONAL),
               FG_CALC_FINENESS},
    .outputs = {{"mass_mg", "Mass", FG_Q_SMALL_MASS},
                {"equal_volume_mm", "Equal-volume diameter", FG_Q_GRAIN_SIZE},
                {"sphericity", "Sphericity", FG_Q_NUMBER}},
    .source = "geometry of a disc; density by ideal mixing of gold 19.32 and silver 10.49 g/cm3",
    .example = "diameter='40 mesh' thickness_ratio=0.1 fineness=0.85",
    .work = work_grain,
};
