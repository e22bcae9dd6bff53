/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_CARD_INTERVAL_H
#define FG_CLI_CARD_INTERVAL_H

#include "flourgold/scenario.h"

/* The best time (s) of running between two cleanings by the nominal run, to five minutes; NaN
 * where it cannot be told. */
double fg_card_interval(const fg_scenario *scenario);

#endif
