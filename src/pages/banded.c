/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/banded.h"

#include <math.h>
#include <stdio.h>

static const char *const ends[3] = {"low", "mid", "high"};

void fg_report_banded(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
                      const fg_banded *value, unsigned flags) {
  if (isnan(value->band[1]))
    fg_number(parent, name, label, quantity, value->nominal, flags);
  else
    fg_number_band(parent, name, label, quantity, value->nominal, value->band, flags);
}

void fg_columns_banded(fg_node *table, const char *name, const char *label, const char *low_label,
                       const char *high_label, fg_quantity quantity) {
  const char *const labels[3] = {low_label, NULL, high_label};
  fg_column(table, name, label, quantity, 0);
  for (int q = 0; q < 3; ++q) {
    char full[64];
    (void)snprintf(full, sizeof full, "%s_%s", name, ends[q]);
    fg_column(table, full, labels[q], quantity, 0);
  }
}

void fg_cells_banded(fg_node *table, const fg_banded *value) {
  fg_cell(table, value->nominal);
  for (int q = 0; q < 3; ++q)
    fg_cell(table, value->band[q]);
}
