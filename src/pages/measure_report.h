/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_MEASURE_REPORT_H
#define FLOURGOLD_MEASURE_REPORT_H

#include "report/report.h"
#include "study/doubts.h"

/* The measuring card: one page of text for people, every measurement in the data.  NULL when
 * memory ran out. */
fg_report *fg_measure_report(const fg_scenario *scenario, const fg_doubts *doubts);

#endif
