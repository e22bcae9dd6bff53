/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DRY_REPORT_H
#define FLOURGOLD_DRY_REPORT_H

#include "flourgold/quantity.h"
#include "pages/plot.h"
#include "report/report.h"
#include "study/drying.h"

/* What the report of `flourgold dry` is made of. */
typedef struct fg_dry_story {
  const fg_scenario *scenario;
  const fg_drying_options *options;
  const fg_drying *drying;
  double tarp_m; /* thickness on the tarp */
  double sun_s;  /* hours of sun it gets, in s */
  fg_unit_system units;
} fg_dry_story;

/* NULL when memory ran out. */
fg_report *fg_dry_report(const fg_dry_story *story);

/* The data of the picture "drying".  Free with fg_plot_free() after FG_OK; FG_EMEMORY. */
fg_status fg_dry_plot(const fg_picture *picture, const fg_dry_story *story, fg_plot *plot);

#endif
