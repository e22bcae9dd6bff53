/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "study/map.h"
#include "study/plan.h"
#include "study/tune_internal.h"

enum { MAP_MEMBERS = 24 };
static const fg_loss_options map_deck = {.kept_only = true, .cells = 8, .steps = 6, .times = 8};
static const double least_screen_m = 0.003175, most_screen_m = 0.0127;

static void set_ranges(const fg_scenario *scenario, fg_map *map) {
  fg_tune_options options;
  fg_tune_defaults(scenario, map->choice.aim, &options);
  for (int k = 0; k < 2; ++k) {
    const fg_knob knob = map->choice.knob[k];
    map->low[k] = options.knob[knob].low;
    map->high[k] = options.knob[knob].high;
    if (knob != FG_KNOB_SCREEN)
      continue;
    map->low[k] = least_screen_m;
    map->high[k] = most_screen_m;
    for (size_t i = 0; i < options.screens && options.screens > 1; ++i) {
      map->low[k] = i == 0 ? options.screen_m[i] : fmin(map->low[k], options.screen_m[i]);
      map->high[k] = i == 0 ? options.screen_m[i] : fmax(map->high[k], options.screen_m[i]);
    }
  }
}

static fg_status judge_grid(const fg_scenario *scenario, const fg_plan *plan, fg_verdicts *v,
                            fg_map *map) {
  double at[FG_KNOBS];
  fg_tune_present(scenario, at);
  for (size_t i = 0; i < FG_MAP_STEPS; ++i)
    for (size_t j = 0; j < FG_MAP_STEPS; ++j) {
      at[map->choice.knob[0]] = map->place[0][i];
      at[map->choice.knob[1]] = map->place[1][j];
      const fg_status status = fg_verdicts_run(scenario, plan, at, v, &map->judged[i][j]);
      if (status != FG_OK)
        return status;
    }
  return FG_OK;
}

fg_status fg_map_run(const fg_scenario *scenario, const fg_map_choice *choice, fg_map *map) {
  if (choice->knob[0] == choice->knob[1])
    return FG_EDOMAIN;
  map->choice = *choice;
  map->members = MAP_MEMBERS;
  set_ranges(scenario, map);
  for (int k = 0; k < 2; ++k)
    for (size_t i = 0; i < FG_MAP_STEPS; ++i)
      map->place[k][i] =
          map->low[k] + (map->high[k] - map->low[k]) * (double)i / (FG_MAP_STEPS - 1.0);
  fg_plan plan;
  fg_verdicts v;
  fg_status status = fg_plan_new(scenario, MAP_MEMBERS, 1, &plan);
  if (status != FG_OK)
    return status;
  status = fg_verdicts_new(MAP_MEMBERS, choice->aim, &map_deck, &v);
  if (status == FG_OK)
    status = judge_grid(scenario, &plan, &v, map);
  fg_verdicts_free(&v);
  fg_plan_free(&plan);
  return status;
}
