/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hours to a full dose of noise or dust. */
#include "cli/calc_formulas.h"
#include "physics/safety.h"

static fg_status work_noise_hours(fg_calc_work *work) {
  return fg_noise_hours(fg_calc_value(work, "level"), fg_calc_place(work, "niosh_h"),
                        fg_calc_place(work, "osha_h"));
}

const fg_calc fg_calc_of_noise_hours = {
    .name = "noise_hours",
    .title = "hours to a full noise dose without ear protection",
    .inputs = {{"level", FG_Q_NOISE, .need = FG_CALC_NEEDED, .lowest = 40.0, .highest = 140.0,
                .meaning = "in dBA, at the ear"}},
    .outputs = {{"niosh_h", "Recommended limit (NIOSH)", FG_Q_HOURS},
                {"osha_h", "Permissible limit (OSHA)", FG_Q_HOURS}},
    .source = "NIOSH publication 98-126, 1998: 8 h/2^((L-85)/3); 29 CFR 1910.95, table G-16: "
              "8 h/2^((L-90)/5)",
    .example = "level=98",
    .work = work_noise_hours,
};

static fg_status work_silica_hours(fg_calc_work *work) {
  double seconds;
  const fg_status status = fg_silica_hours(fg_calc_value(work, "concentration"), &seconds);
  if (status == FG_OK)
    fg_calc_result(work, "hours", seconds / 3600.0);
  return status;
}

const fg_calc fg_calc_of_silica_hours = {
    .name = "silica_hours",
    .title = "hours to a full dose of silica dust without respirator",
    .inputs = {{"concentration", FG_Q_DUST, .need = FG_CALC_NEEDED, .lowest = 1e-12, .highest = 1.0,
                .meaning = "of respirable crystalline silica"}},
    .outputs = {{"hours", "Hours", FG_Q_NUMBER}},
    .source = "29 CFR 1926.1153: 50 ug/m3 over 8 hours, so 400/C hours",
    .example = "concentration='100 ug/m3'",
    .work = work_silica_hours,
};
