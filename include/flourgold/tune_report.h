/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TUNE_REPORT_H
#define FLOURGOLD_TUNE_REPORT_H

#include "flourgold/ensemble.h"
#include "flourgold/report.h"
#include "flourgold/tune.h"

/* What the report of `flourgold tune` is made of. */
typedef struct fg_tune_story {
  const fg_scenario *scenario;      /* as it is */
  const fg_scenario *best_scenario; /* with the best settings */
  const fg_tune_options *options;
  const fg_tuned *tuned;
  const fg_loss *loss;              /* nominal run at the best settings */
  const fg_bands *bands;            /* its bands */
  fg_unit_system units;
} fg_tune_story;

fg_report *fg_tune_report(const fg_tune_story *story);

/* One cell of the table of settings against ground. */
typedef struct fg_tune_cell {
  double moisture;      /* share */
  const char *grain;    /* "fine" ... */
  double median_m;
  bool stalls;          /* no setting runs */
  double at[FG_KNOBS];
  double box_pressure_pa;
  fg_spread kept, kg_s;
  double stall_share;
} fg_tune_cell;

fg_report *fg_tune_table_report(const fg_scenario *scenario, const fg_tune_cell *cells,
                                size_t count, fg_unit_system units);

/* "a third open", "shut", "fully open". */
const char *fg_gate_words(double opening, char *buffer, size_t size);
/* Time for one bucket of loose gravel, "2 min 10 s", to five seconds. */
const char *fg_bucket_words(double feed_kg_s, double bulk_kg_m3, char *buffer, size_t size);

#endif
