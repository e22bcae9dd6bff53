/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DOUBT_H
#define FLOURGOLD_DOUBT_H

#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* How little is known of a setting.  The nominal value is the median of all of them. */
typedef enum fg_distribution {
  FG_D_NORMAL,        /* two halves of normal distributions, 10 and 90 % at the ends */
  FG_D_LOG_NORMAL,    /* the same of the logarithm */
  FG_D_SPLIT_UNIFORM, /* even from the low end to the nominal, and from there to the high end */
  FG_D_CHOICE         /* laws, each with its weight */
} fg_distribution;

typedef struct fg_doubt {
  int row; /* of the settings table */
  fg_distribution kind;
  double low, nominal, high; /* SI */
} fg_doubt;

/* The settings of a resolved scenario that are in doubt, those that usually matter most first;
 * returns how many, at most FG_SETTINGS_MAX, for which there must be room.
 * Assumed values use the table's likely range; values given without an error half of it (in
 * log where the range is wide), moved to the given value; values given with an error
 * ("0.8 +- 0.3 %") that error, one standard deviation.  Left out: what the deck does not feel
 * (soil, limits, sample, day), and
 * dimensions and knobs without an error, which whoever runs the machine can see. */
size_t fg_doubt_list(const fg_scenario *scenario, fg_doubt doubts[FG_SETTINGS_MAX]);

#ifdef __cplusplus
}
#endif

#endif
