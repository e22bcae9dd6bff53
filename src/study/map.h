/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_MAP_H
#define FLOURGOLD_MAP_H

#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"

/* The aim over two knobs. */
typedef struct fg_map_choice {
  fg_knob knob[2]; /* along, up */
  fg_aim aim;
} fg_map_choice;

enum { FG_MAP_STEPS = 17 };
typedef struct fg_map {
  fg_map_choice choice;
  double low[2], high[2];
  double place[2][FG_MAP_STEPS];                /* SI */
  fg_judged judged[FG_MAP_STEPS][FG_MAP_STEPS]; /* [along][up] */
  size_t members;
} fg_map;

/* Judges an even grid over the ranges (the screen: over those owned, else 1/8 to 1/2 in) by a
 * small common ensemble. */
fg_status fg_map_run(const fg_scenario *scenario, const fg_map_choice *choice, fg_map *map);

#endif
