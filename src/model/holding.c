/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/holding.h"
#include "flourgold/grain.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "model/capture_internal.h"

typedef struct watcher {
  fg_holding *h;
  double fine_m;
} watcher;

static void note_fill(const fg_capture *c, size_t step, fg_holding *h) {
  const double solid = c->machine->at.fill.volume_m3 * (1.0 - c->machine->voidage);
  double held = 0.0;
  for (size_t i = 0; i < c->riffles; ++i) {
    h->fill[step * c->riffles + i] = c->fill[i];
    held += solid * (c->fill[i] * FG_MAGNETITE_KG_M3 + (1.0 - c->fill[i]) * FG_QUARTZ_KG_M3);
  }
  h->concentrate_kg[step] = held;
}

static void note_gold(const fg_capture *c, size_t step, const fg_catch *result, const watcher *w) {
  double all = 0.0, fine = 0.0, held = 0.0, fine_held = 0.0;
  for (size_t k = 0; k < c->lanes && c->lane[k].stuff == FG_GOLD; ++k) {
    const fg_lane *lane = &c->lane[k];
    const double part = lane->sizes.share * lane->passing;
    double here = 0.0;
    for (size_t i = 0; i < c->riffles; ++i)
      here += result->held[i * c->lanes + k];
    all += part;
    held += part * here;
    if (lane->size_m >= w->fine_m)
      continue;
    fine += part;
    fine_held += part * here;
  }
  w->h->held_s[step] = all > 0.0 ? held / all : (double)NAN;
  w->h->fine_held_s[step] = fine > 0.0 ? fine_held / fine : (double)NAN;
}

static void note(const fg_capture *c, fg_stuff stuff, size_t step, const fg_catch *result,
                 void *context) {
  const watcher *w = context;
  if (stuff == FG_MAGNETITE)
    note_fill(c, step, w->h);
  else if (stuff == FG_GOLD)
    note_gold(c, step, result, w);
}

static fg_status make_room(fg_holding *h) {
  h->after_s = calloc(h->moments, sizeof(double));
  h->fill = calloc(h->moments * h->riffles, sizeof(double));
  h->held_s = calloc(h->moments, sizeof(double));
  h->fine_held_s = calloc(h->moments, sizeof(double));
  h->concentrate_kg = calloc(h->moments, sizeof(double));
  const bool room = h->after_s && h->fill && h->held_s && h->fine_held_s && h->concentrate_kg;
  return room ? FG_OK : FG_EMEMORY;
}

static fg_status hold(const fg_scenario *s, const fg_loss_options *options, double fine_m,
                      fg_holding *h) {
  fg_loss_options own = options ? *options : (fg_loss_options){0};
  own.times = h->moments;
  own.kept_only = true; /* gold and the black sand it meets */
  fg_capture *c = NULL;
  fg_catch result = {0};
  fg_status status = fg_capture_new(s, &h->machine, &own, &c);
  if (status != FG_OK)
    return status;
  watcher w = {h, fine_m};
  c->moment_s = h->after_s;
  c->watch = note;
  c->watch_context = &w;
  status = fg_catch_new(c, &result);
  if (status == FG_OK)
    status = fg_capture_run_gold(c, FG_POCKETS_FILLING, &result);
  for (size_t k = 0; k < c->lanes; ++k)
    if (c->lane[k].stuff == FG_GOLD)
      h->gold_kg_s += c->lane[k].flow_kg_s;
  fg_catch_free(&result);
  fg_capture_free(c);
  return status;
}

fg_status fg_holding_run(const fg_scenario *scenario, const fg_loss_options *options,
                         const double *after_s, size_t moments, double fine_m,
                         fg_holding *holding) {
  fg_holding h = {.riffles = (size_t)scenario->deck.riffles, .moments = moments};
  if (moments == 0)
    return FG_EDOMAIN;
  for (size_t i = 0; i < moments; ++i)
    if (!(after_s[i] > (i > 0 ? after_s[i - 1] : 0.0)) || !isfinite(after_s[i]))
      return FG_EDOMAIN;
  fg_status status = fg_machine_solve(scenario, &h.machine);
  if (status != FG_OK)
    return status;
  if (h.machine.stalled) {
    holding->machine = h.machine;
    return FG_ESTALL;
  }
  status = make_room(&h);
  if (status == FG_OK) {
    memcpy(h.after_s, after_s, moments * sizeof *after_s);
    status = hold(scenario, options, fine_m, &h);
  }
  if (status == FG_OK)
    *holding = h;
  else
    fg_holding_free(&h);
  return status;
}

void fg_holding_free(fg_holding *holding) {
  free(holding->after_s);
  free(holding->fill);
  free(holding->held_s);
  free(holding->fine_held_s);
  free(holding->concentrate_kg);
  holding->after_s = holding->fill = holding->held_s = NULL;
  holding->fine_held_s = holding->concentrate_kg = NULL;
}
