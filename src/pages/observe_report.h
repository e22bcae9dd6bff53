/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_OBSERVE_REPORT_H
#define FLOURGOLD_OBSERVE_REPORT_H

#include "report/report.h"
#include "study/observe.h"

/* The observations beside what the model expects, as the array `observed` and its text, and
 * the settings that would explain a difference, as `suspects`.  Nothing when count is 0. */
void fg_report_observed(fg_node *parent, const fg_scenario *scenario, const fg_observed *observed,
                        const fg_suspect *suspects, size_t suspect_count, fg_unit_system units);

#endif
