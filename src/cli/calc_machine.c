/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts of the machine: board, duct, blower, shaker. */
#include <stdio.h>

#include "cli/calc_formulas.h"
#include "flourgold/air.h"
#include "flourgold/blower.h"
#include "physics/duct.h"
#include "physics/shaking.h"

static const char *const blower_kinds[] = {"two_stroke", "four_stroke", "battery", "mains", NULL};
static const char *const label_places[] = {"nozzle", "open", NULL};

static fg_status work_board(fg_calc_work *work) {
  return fg_board_coefficient(fg_calc_value(work, "open_share"),
                              fg_calc_place(work, "loss_coefficient"));
}

const fg_calc fg_calc_of_board = {
    .name = "board",
    .title = "loss coefficient of a thin perforated board, on the velocity before it",
    .inputs = {{"open_share", FG_Q_SHARE, .need = FG_CALC_NEEDED, .lowest = 0.02, .highest = 1.0,
                .meaning = "area of the holes over that of the board"}},
    .outputs = {{"loss_coefficient", "Loss coefficient", FG_Q_NUMBER}},
    .source = "Idelchik, Handbook of Hydraulic Resistance, diagram 8-1, sharp edges",
    .example = "open_share=30%",
    .work = work_board,
};

static fg_status work_duct(fg_calc_work *work) {
  return fg_duct_friction(fg_calc_value(work, "reynolds"), fg_calc_value(work, "roughness_ratio"),
                          fg_calc_place(work, "friction_factor"));
}

const fg_calc fg_calc_of_duct = {
    .name = "duct",
    .title = "Darcy friction factor of a round duct, smooth or rough, laminar or not",
    .inputs = {{"reynolds", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 1e-6, .highest = 1e9,
                .meaning = "Reynolds number with the duct's diameter"},
               {"roughness_ratio", FG_Q_NUMBER, .need = FG_CALC_STANDARD, .lowest = 0.0,
                .highest = 0.2, .meaning = "height of the roughness over the diameter"}},
    .outputs = {{"friction_factor", "Friction factor (Darcy)", FG_Q_NUMBER}},
    .source = "Churchill, Chemical Engineering 84(24):91, 1977",
    .example = "reynolds=1e5 roughness_ratio=0.01",
    .work = work_duct,
};

/* Density of the standard atmosphere itself: that of sea level scaled as an ideal gas. */
static fg_status standard_density(double elevation_m, double *density_kg_m3) {
  double kelvin;
  double pascal;
  double sea_k;
  fg_status status = fg_air_standard(0.0, &sea_k, NULL);
  if (status == FG_OK)
    status = fg_air_standard(elevation_m, &kelvin, &pascal);
  if (status == FG_OK)
    *density_kg_m3 = FG_STANDARD_DENSITY * pascal / FG_STANDARD_PRESSURE * sea_k / kelvin;
  return status;
}

static fg_status work_blower(fg_calc_work *work) {
  fg_fan fan;
  double air;
  double elevation = fg_calc_value(work, "elevation");
  double volume = fg_calc_value(work, "volume");
  fg_status status =
      fg_fan_label(fg_calc_value(work, "free_volume") * fg_calc_value(work, "label_derate"),
                   fg_calc_value(work, "nozzle_speed"), fg_calc_value(work, "shutoff_ratio"),
                   fg_calc_value(work, "label_at") == FG_LABEL_OPEN, &fan);
  if (status == FG_OK)
    status = standard_density(elevation, &air);
  if (status != FG_OK)
    return status;
  fan.speed = fg_fan_speed((fg_blower_kind)fg_calc_value(work, "kind"),
                           fg_calc_value(work, "throttle"), elevation, air);
  fan.density_ratio = air / FG_STANDARD_DENSITY;
  double pressure = fg_fan_pressure(&fan, volume);
  fg_calc_result(work, "pressure_pa", pressure);
  fg_calc_result(work, "shutoff_pa", fg_fan_pressure(&fan, 0.0));
  fg_calc_result(work, "speed_ratio", fan.speed);
  fg_calc_result(work, "air_density_kg_m3", air);
  if (pressure < 0.0)
    (void)snprintf(
        work->note, sizeof work->note,
        "This is more air than the blower can deliver: it would have to be pushed through.");
  else if (volume > fan.speed * fan.rated_m3_s)
    (void)snprintf(
        work->note, sizeof work->note,
        "This is more air than the label promises at this throttle: the curve is a guess "
        "beyond it.");
  return FG_OK;
}

const fg_calc fg_calc_of_blower = {
    .name = "blower",
    .title = "total pressure a blower gives at a volume, from its label",
    .inputs = {{"free_volume", FG_Q_VOLUME_RATE, .need = FG_CALC_NEEDED, .lowest = 1e-4,
                .highest = 100.0, .meaning = "volume on the label"},
               {"nozzle_speed", FG_Q_NOZZLE_SPEED, .need = FG_CALC_NEEDED, .lowest = 1.0,
                .highest = 250.0, .meaning = "air speed on the label"},
               {"volume", FG_Q_VOLUME_RATE, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 100.0,
                .meaning = "the air it delivers"},
               {"throttle", FG_Q_SHARE, .need = FG_CALC_STANDARD, .standard = 1.0, .lowest = 0.01,
                .highest = 1.0, .meaning = "fan speed over its greatest"},
               {"elevation", FG_Q_DISTANCE, .need = FG_CALC_STANDARD, .lowest = -500.0,
                .highest = 6000.0, .meaning = "above sea level; standard air of that height"},
               {"kind", .kind = FG_CALC_CHOICE, .need = FG_CALC_STANDARD, .choices = blower_kinds,
                .meaning = "engines lose power with height, motors do not"},
               {"label_at", .kind = FG_CALC_CHOICE, .need = FG_CALC_STANDARD,
                .choices = label_places,
                .meaning = "whether the label's volume is with its nozzle or of the open blower"},
               {"label_derate", FG_Q_SHARE, .need = FG_CALC_STANDARD, .standard = 1.0,
                .lowest = 0.3, .highest = 1.2, .meaning = "true volume over the label's"},
               {"shutoff_ratio", FG_Q_NUMBER, .need = FG_CALC_STANDARD, .standard = 1.5,
                .lowest = 1.0, .highest = 3.0,
                .meaning = "pressure at no flow over the nozzle's velocity pressure"}},
    .outputs = {{"pressure_pa", "Total pressure", FG_Q_PRESSURE},
                {"shutoff_pa", "With no flow", FG_Q_PRESSURE},
                {"speed_ratio", "Fan speed over its greatest at sea level", FG_Q_NUMBER},
                {"air_density_kg_m3", "Air density", FG_Q_GAS_DENSITY}},
    .source = "fan laws; parabola through the label's point with shut-off at shutoff_ratio times "
              "the nozzle's velocity pressure: model; engine power 3 % less per 1000 ft above "
              "500 ft: common practice, no source",
    .example = "free_volume=450cfm nozzle_speed=190mph volume=300cfm throttle=80% "
               "elevation=2500ft",
    .work = work_blower,
};

static fg_status work_shake(fg_calc_work *work) {
  double ratio = fg_calc_value(work, "ratio");
  double damping = fg_calc_value(work, "damping");
  fg_status status = fg_unbalance_response(ratio, damping, fg_calc_place(work, "amplitude_ratio"));
  if (status == FG_EDOMAIN)
    return fg_calc_refuse(work, "damping: at resonance (ratio 1) without damping the stroke grows "
                                "without end; give a damping above 0");
  if (status == FG_OK)
    status = fg_transmissibility(ratio, damping, fg_calc_place(work, "transmissibility"));
  return status;
}

const fg_calc fg_calc_of_shake = {
    .name = "shake",
    .title = "stroke of a spring-carried box under a turning unbalance",
    .inputs = {{"ratio", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 1000.0,
                .meaning = "rotor speed over natural frequency"},
               {"damping", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 10.0,
                .meaning = "over critical damping"}},
    .outputs = {{"amplitude_ratio", "Half stroke x mass over unbalance", FG_Q_NUMBER},
                {"transmissibility", "Force on the ground over exciting force", FG_Q_NUMBER}},
    .source = "Thomson, Theory of Vibration, chapter 3",
    .example = "ratio=2 damping=0.1",
    .work = work_shake,
};
