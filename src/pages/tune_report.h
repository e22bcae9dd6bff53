/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TUNE_REPORT_H
#define FLOURGOLD_TUNE_REPORT_H

#include "flourgold/ensemble.h"
#include "flourgold/tune.h"
#include "report/report.h"
#include "study/best.h"
#include "study/tune_table.h"

/* What the report of `flourgold tune` is made of. */
typedef struct fg_tune_story {
  const fg_scenario *scenario; /* as it is */
  const fg_tune_options *options;
  const fg_best *best;
  const fg_loss *loss;         /* nominal run at the best settings */
  const fg_bands *bands;       /* its bands */
  const fg_loss *present_loss; /* nominal run at the present settings; NULL: it stalls */
  fg_unit_system units;
} fg_tune_story;

fg_report *fg_tune_report(const fg_tune_story *story);

fg_report *fg_tune_table_report(const fg_scenario *scenario, const fg_tune_cell *own,
                                const fg_tune_cell *cells, size_t count, fg_unit_system units);

/* A knob as it is set by hand: "72 %", "a third open", "4 3/8 in/ft", time for a bucket. */
const char *fg_knob_words(const fg_scenario *scenario, fg_unit_system units, fg_knob knob,
                          double value, char *buffer, size_t size);

/* "a third open", "shut", "fully open". */
const char *fg_gate_words(double opening, char *buffer, size_t size);
/* The same in short: "1/3 open". */
const char *fg_gate_fraction(double opening, char *buffer, size_t size);
/* Time for one bucket of loose gravel, "2 1/2 min", "2 min 10 s", to five seconds. */
const char *fg_bucket_words(double feed_kg_s, double bulk_kg_m3, char *buffer, size_t size);

/* Its first lines: the settings and what they bring. */
void fg_report_tune_answer(fg_node *root, const fg_tune_story *story, const fg_tuned *tuned,
                           const fg_scenario *set);

#endif
