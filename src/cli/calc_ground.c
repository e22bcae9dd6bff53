/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What holds grains back: water and static charge. */
#include <stdio.h>

#include "cli/calc_formulas.h"
#include "physics/charge.h"
#include "physics/moisture.h"

static fg_status work_damp(fg_calc_work *work) {
  double clay = fg_calc_value(work, "clay");
  double moisture = fg_calc_value(work, "moisture");
  fg_status status = fg_bound_water(clay, fg_calc_place(work, "bound_percent"));
  if (status == FG_OK)
    status = fg_free_water(moisture, clay, fg_calc_place(work, "free_percent"));
  if (status == FG_OK)
    status = fg_threshold_ratio(moisture, clay, fg_calc_place(work, "threshold_ratio"));
  if (status == FG_OK)
    status = fg_air_dry_water(clay, fg_calc_value(work, "humidity"),
                              fg_calc_place(work, "air_dry_percent"));
  return status;
}

const fg_calc fg_calc_of_damp = {
    .name = "damp",
    .title = "water that clay holds, and how much harder damp soil is to lift by wind",
    .inputs = {{"clay", FG_Q_PERCENT, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 0.6,
                .meaning = "by mass"},
               {"moisture", FG_Q_PERCENT, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 0.4,
                .meaning = "water over dry mass"},
               {"humidity", FG_Q_PERCENT, .need = FG_CALC_STANDARD, .standard = 0.2, .lowest = 0.0,
                .highest = 1.0, .meaning = "of the air, relative"}},
    .outputs = {{"bound_percent", "Bound by clay, over dry mass", FG_Q_PERCENT},
                {"free_percent", "Free to bind grains", FG_Q_PERCENT},
                {"air_dry_percent", "In balance with the air", FG_Q_PERCENT},
                {"threshold_ratio", "Wind that lifts it, damp over dry", FG_Q_NUMBER}},
    .source = "Fecan et al., Annales Geophysicae 17:149, 1999, equations 14 and 15; air-dry water: "
              "Campbell & Shiozawa 1992 with Chen et al. 2014",
    .example = "clay=5% moisture=3%",
    .work = work_damp,
};

static fg_status work_charge(fg_calc_work *work) {
  double density;
  double thickness = fg_calc_value(work, "thickness");
  double charge = fg_calc_value(work, "surface_charge");
  fg_status status = fg_calc_density(work, &density);
  if (status == FG_OK)
    status = fg_static_pull(thickness, density, charge, fg_calc_place(work, "pull_over_weight"));
  if (status == FG_OK)
    status = fg_static_pull(thickness, density, fg_largest_charge(),
                            fg_calc_place(work, "largest_pull_over_weight"));
  fg_calc_result(work, "largest_charge_c_m2", fg_largest_charge());
  if (charge > 1.01 * fg_largest_charge())
    (void)snprintf(work->note, sizeof work->note,
                   "Air breaks down before a surface holds that much charge.");
  return status;
}

const fg_calc fg_calc_of_charge = {
    .name = "charge",
    .title = "static pull on a flake that lies on a charged cloth, over its weight",
    .inputs = {{"thickness", FG_Q_GRAIN_SIZE, .need = FG_CALC_NEEDED, .lowest = 1e-8,
                .highest = 0.1, .meaning = "of the flake"},
               FG_CALC_DENSITY(FG_CALC_OPTIONAL),
               FG_CALC_FINENESS,
               {"surface_charge", FG_Q_CHARGE, .need = FG_CALC_NEEDED, .lowest = 0.0,
                .highest = 1e-3, .meaning = "of cloth and flake"}},
    .outputs = {{"pull_over_weight", "Pull over weight", FG_Q_NUMBER},
                {"largest_charge_c_m2", "Most charge that air allows", FG_Q_CHARGE},
                {"largest_pull_over_weight", "Pull over weight at that charge", FG_Q_NUMBER}},
    .source = "pressure of a field on a conductor, sigma^2/(2 eps0), any text on electrostatics; "
              "air breaks down at 3 MV/m",
    .example = "thickness=20um surface_charge=10uC/m2",
    .work = work_charge,
};
