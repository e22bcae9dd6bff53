/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_FINE_H
#define FLOURGOLD_FINE_H

#include "flourgold/loss.h"

/* Gold finer than this counts as fine here: 60 mesh. */
extern const double fg_fine_limit_m;

/* Kept share of the fine gold of a run; NaN when there is none. */
double fg_fine_kept(const fg_loss *loss);

#endif
