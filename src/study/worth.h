/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_WORTH_H
#define FLOURGOLD_WORTH_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "scenario/measuring.h"

/* What to measure first: the one ranking that `measure` and `doubts` both tell. */

enum { FG_WORTHS_MAX = 48 };

/* What an ensemble told from chance of an input: its share of the doubt, 0 where none was told. */
typedef struct fg_told {
  int row;
  double share, fine_share; /* of all gold, of the fine gold */
} fg_told;

typedef struct fg_worth {
  const fg_measuring *how;
  int row;                    /* of the setting whose doubt it removes */
  bool given;                 /* the scenario has a value, of which there is doubt */
  double share, fine_share;   /* of the doubt, of all inputs that it settles; 0: none told */
  double low, high;           /* the doubt of `row`, SI */
  double kept_low, kept_high; /* fine gold kept at its ends, 0-1; NaN: the deck stalls there */
  double swing; /* how far the fine gold kept moves over the doubt; a stall keeps none */
} fg_worth;

/* A swing below this is not worth the walk: half a point. */
extern const double fg_telling_swing;

/* All measurements that would settle a doubt of the scenario (fg_doubt_of()), assumed or given,
 * most valuable first: by the share of the doubt about all gold, then of that about the fine gold
 * (`told`, told_count of them), then by the swing of the fine gold when the model is run at both
 * ends of the doubt.  Readings on the running machine are left out: they are no settings.  Writes
 * *count of them. */
fg_status fg_worth_list(const fg_scenario *scenario, const fg_told *told, size_t told_count,
                        fg_worth worths[FG_WORTHS_MAX], size_t *count);

#endif
