/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_KNOBS_H
#define FLOURGOLD_KNOBS_H

#include <stddef.h>

#include "flourgold/ensemble.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/tune.h"

extern const char *const fg_knob_names[FG_KNOBS + 1]; /* "throttle", "gate" ...; NULL ends */
extern const fg_setting_row fg_knob_rows[FG_KNOBS];

/* Mean aim of one setting over the first `count` members of a plan. */
fg_status fg_tune_judge(const fg_scenario *scenario, const fg_plan *plan, size_t count, fg_aim aim,
                        const double at[FG_KNOBS], fg_judged *judged);

#endif
