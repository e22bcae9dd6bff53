/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BANDED_H
#define FLOURGOLD_BANDED_H

#include "report/report.h"
#include "study/cleanup.h"

/* A figure with its band, or alone where no band is known. */
void fg_report_banded(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
                      const fg_banded *value, unsigned flags);

/* Four columns, name, name_low, name_mid, name_high, of which people see those with a label. */
void fg_columns_banded(fg_node *table, const char *name, const char *label, const char *low_label,
                       const char *high_label, fg_quantity quantity);
/* Their four cells. */
void fg_cells_banded(fg_node *table, const fg_banded *value);

#endif
