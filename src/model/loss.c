/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/loss.h"
#include "flourgold/grain.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "model/capture_internal.h"
#include "model/deck.h"

/* A tray that keeps less of a size than this says nothing about how much the ground held. */
static const double least_telling_share = 0.02;

/* The same deck with better and better pockets tells why a grain was lost: what even ideal
 * pockets miss was carried (or blown) over, what lift and release add was shaken out, what
 * filling adds was lost to full pockets. */
typedef struct decks {
  fg_catch ideal, leaky, real;
} decks;

static void decks_free(decks *d) {
  fg_catch_free(&d->ideal);
  fg_catch_free(&d->leaky);
  fg_catch_free(&d->real);
}

static fg_status run_decks(fg_capture *c, bool fresh, decks *d) {
  fg_status status = fg_catch_new(c, &d->ideal);
  if (status == FG_OK)
    status = fg_catch_new(c, &d->leaky);
  if (status == FG_OK)
    status = fg_catch_new(c, &d->real);
  if (status == FG_OK)
    status = fg_capture_run(c, FG_POCKETS_IDEAL, &d->ideal);
  if (status == FG_OK)
    status = fg_capture_run(c, fresh ? FG_POCKETS_EMPTY : FG_POCKETS_LEAKY, &d->leaky);
  if (status == FG_OK)
    status = fg_capture_run(c, fresh ? FG_POCKETS_EMPTY : FG_POCKETS_FILLING, &d->real);
  return status;
}

static void tell_class(const fg_capture *c, const decks *d, size_t k, fg_class_loss *out) {
  const fg_lane *lane = &c->lane[k];
  *out = (fg_class_loss){.stuff = lane->stuff,
                         .lower_m = lane->sizes.lower_m,
                         .upper_m = lane->sizes.upper_m,
                         .size_m = lane->size_m,
                         .share = lane->sizes.share,
                         .passing = lane->passing,
                         .settling_m_s = lane->settling_m_s,
                         .sinking_m_s = lane->sinking_m_s[0]};
  const double ideal = d->ideal.over[k] + d->ideal.blown[k];
  const double leaky = d->leaky.over[k] + d->leaky.blown[k];
  const double real = d->real.over[k] + d->real.blown[k];
  out->stuck = c->stuck[k];
  out->blown_off = d->ideal.blown[k];
  out->carried = d->ideal.over[k];
  out->shaken_out = fmax(0.0, leaky - ideal);
  out->full = fmax(0.0, real - leaky);
  for (size_t i = 0; i < c->riffles; ++i) {
    out->by_riffle[i] = d->real.held[i * c->lanes + k];
    out->kept += out->by_riffle[i];
  }
}

/* Light sand that settles takes no room from heavy sand: of all that settled, a pocket holds
 * at cleaning what the heavy sand has left free; the rest was pushed out again. */
static void settle_light_sand(const fg_capture *c, const fg_loss *loss, fg_class_loss *classes,
                              size_t count) {
  /* Shares are of all that is fine enough for the screen. */
  const double flow =
      c->machine->feed_kg_s * c->machine->screen_share * (1.0 - c->scenario->ground.magnetite);
  const double solid =
      c->machine->at.fill.volume_m3 * (1.0 - c->machine->voidage) * FG_QUARTZ_KG_M3;
  const double interval = c->scenario->run.cleaning_interval;
  for (size_t i = 0; i < c->riffles; ++i) {
    double settled = 0.0;
    for (size_t k = 0; k < count; ++k)
      settled += flow * classes[k].share * classes[k].by_riffle[i] * interval;
    const double room = solid * (1.0 - loss->fill[i]);
    const double holds = loss->fresh || settled <= 0.0 ? 0.0 : fmin(1.0, room / settled);
    for (size_t k = 0; k < count; ++k) {
      classes[k].full += classes[k].by_riffle[i] * (1.0 - holds);
      classes[k].by_riffle[i] *= holds;
    }
  }
  for (size_t k = 0; k < count; ++k) {
    classes[k].kept = 0.0;
    for (size_t i = 0; i < c->riffles; ++i)
      classes[k].kept += classes[k].by_riffle[i];
  }
}

/* Shares of the ground behind the shares of a catch. */
static void undo_tray(fg_loss *loss) {
  double sum = 0.0;
  for (size_t k = 0; k < loss->gold_count; ++k) {
    fg_class_loss *g = &loss->gold[k];
    const double telling = g->kept * g->passing;
    if (telling < least_telling_share) {
      g->share = NAN;
      loss->unknown_classes += 1.0;
    } else {
      g->share /= telling;
      sum += g->share;
    }
  }
  for (size_t k = 0; k < loss->gold_count; ++k)
    if (sum > 0.0)
      loss->gold[k].share /= sum;
}

static void sum_gold(fg_loss *loss) {
  double passing = 0.0, all = 0.0;
  for (size_t k = 0; k < loss->gold_count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    if (isnan(g->share))
      continue;
    const double part = g->share * g->passing;
    all += g->share;
    passing += part;
    loss->kept += part * g->kept;
    loss->stuck += part * g->stuck;
    loss->blown_off += part * g->blown_off;
    loss->carried += part * g->carried;
    loss->shaken_out += part * g->shaken_out;
    loss->full += part * g->full;
  }
  loss->screened_off = all > 0.0 ? 1.0 - passing / all : (double)NAN;
  double *const sums[] = {&loss->kept,    &loss->stuck,      &loss->blown_off,
                          &loss->carried, &loss->shaken_out, &loss->full};
  for (size_t i = 0; i < sizeof sums / sizeof sums[0]; ++i)
    *sums[i] = passing > 0.0 ? *sums[i] / passing : (double)NAN;
}

static void sum_flows(const fg_scenario *s, fg_loss *loss) {
  const fg_machine *m = &loss->machine;
  loss->feed_kg_s = m->feed_kg_s;
  loss->feed_m3_s = m->feed_kg_s / s->ground.bulk_density;
  loss->in_place_m3_s = loss->feed_m3_s / s->ground.swell;
  loss->deck_feed_kg_s = m->deck_feed_kg_s;
  const double gold = loss->in_place_m3_s * s->gold.grade * (1.0 - loss->screened_off);
  /* No gold on the deck is none kept and none lost, whatever its shares would be. */
  loss->kept_kg_s = gold > 0.0 ? gold * loss->kept : 0.0;
  loss->lost_kg_s = gold > 0.0 ? gold * (1.0 - loss->kept) : 0.0;
  double held = 0.0;
  const double solid = m->at.fill.volume_m3 * (1.0 - m->voidage);
  for (size_t i = 0; i < loss->riffles; ++i)
    held += solid * (loss->fill[i] * FG_MAGNETITE_KG_M3 + (1.0 - loss->fill[i]) * FG_QUARTZ_KG_M3);
  loss->concentrate_kg_s = held / s->run.cleaning_interval;
}

/* Size at which the kept share passes one half, between neighbouring classes in log size;
 * the finest such size. */
static double half_kept_size(const fg_loss *loss) {
  double found = NAN;
  for (size_t k = 0; k + 1 < loss->gold_count; ++k) {
    const fg_class_loss *a = &loss->gold[k], *b = &loss->gold[k + 1];
    if ((a->kept - 0.5) * (b->kept - 0.5) > 0.0 || a->kept == b->kept)
      continue;
    const double along = (a->kept - 0.5) / (a->kept - b->kept);
    const double size = exp(log(a->size_m) + along * log(b->size_m / a->size_m));
    if (isnan(found) || size < found)
      found = size;
  }
  return found;
}

static fg_status fill_classes(const fg_capture *c, const decks *d, fg_loss *loss) {
  size_t gold = 0;
  while (gold < c->lanes && c->lane[gold].stuff == FG_GOLD)
    ++gold;
  loss->gold = calloc(gold + 1, sizeof *loss->gold); /* never of no bytes */
  loss->minerals = calloc(c->lanes - gold + 1, sizeof *loss->minerals);
  if (!loss->gold || !loss->minerals)
    return FG_EMEMORY;
  loss->gold_count = gold;
  loss->mineral_count = c->lanes - gold;
  for (size_t k = 0; k < gold; ++k)
    tell_class(c, d, k, &loss->gold[k]);
  for (size_t k = gold; k < c->lanes; ++k)
    tell_class(c, d, k, &loss->minerals[k - gold]);
  return FG_OK;
}

static fg_status tell_capture(const fg_scenario *s, fg_capture *c, fg_loss *loss) {
  decks d = {{0}, {0}, {0}};
  double moisture[FG_RIFFLES_MAX + 1];
  fg_status status = run_decks(c, loss->fresh, &d);
  if (status == FG_OK)
    status = fg_deck_drying(s, &loss->machine, moisture);
  if (status == FG_OK)
    status = fill_classes(c, &d, loss);
  if (status == FG_OK) {
    loss->riffles = c->riffles;
    loss->water_head = moisture[0];
    loss->water_tail = moisture[c->riffles];
    memcpy(loss->fill, c->fill, sizeof loss->fill);
    size_t quartz = 0;
    while (quartz < loss->mineral_count && loss->minerals[quartz].stuff != FG_QUARTZ)
      ++quartz;
    settle_light_sand(c, loss, loss->minerals + quartz, loss->mineral_count - quartz);
    if (s->gold.counted_in == FG_COUNTED_TRAY)
      undo_tray(loss);
    sum_gold(loss);
    sum_flows(s, loss);
    loss->half_kept_m = half_kept_size(loss);
  }
  decks_free(&d);
  return status;
}

/* Only what is kept of the gold. */
static fg_status tell_kept(const fg_scenario *s, fg_capture *c, fg_loss *loss) {
  fg_catch real;
  fg_status status = fg_catch_new(c, &real);
  if (status == FG_OK)
    status = fg_capture_run_gold(c, loss->fresh ? FG_POCKETS_EMPTY : FG_POCKETS_FILLING, &real);
  const size_t gold = c->group[FG_GOLD].count;
  if (status == FG_OK && !(loss->gold = calloc(gold, sizeof *loss->gold)))
    status = FG_EMEMORY;
  for (size_t k = 0; k < gold && status == FG_OK; ++k) {
    const fg_lane *lane = &c->lane[k];
    fg_class_loss *out = &loss->gold[k];
    *out = (fg_class_loss){.size_m = lane->size_m,
                           .share = lane->sizes.share,
                           .passing = lane->passing,
                           .stuck = NAN,
                           .blown_off = NAN,
                           .carried = NAN,
                           .shaken_out = NAN,
                           .full = NAN};
    for (size_t i = 0; i < c->riffles; ++i)
      out->kept += real.held[i * c->lanes + k];
  }
  fg_catch_free(&real);
  if (status != FG_OK)
    return status;
  loss->gold_count = gold;
  loss->riffles = c->riffles;
  memcpy(loss->fill, c->fill, sizeof loss->fill);
  if (s->gold.counted_in == FG_COUNTED_TRAY)
    undo_tray(loss);
  sum_gold(loss);
  sum_flows(s, loss);
  return FG_OK;
}

fg_status fg_loss_run(const fg_scenario *scenario, const fg_loss_options *options, fg_loss *loss) {
  fg_loss run = {.fresh = options && options->fresh, .half_kept_m = NAN};
  const bool kept_only = options && options->kept_only;
  fg_status status = kept_only ? fg_machine_solve_running(scenario, &run.machine)
                               : fg_machine_solve(scenario, &run.machine);
  if (status != FG_OK)
    return status;
  if (run.machine.stalled) {
    *loss = run;
    return FG_ESTALL;
  }
  fg_capture *capture = NULL;
  status = fg_capture_new(scenario, &run.machine, options, &capture);
  if (status == FG_OK)
    status = kept_only ? tell_kept(scenario, capture, &run) : tell_capture(scenario, capture, &run);
  fg_capture_free(capture);
  if (status == FG_OK)
    *loss = run;
  else
    fg_loss_free(&run);
  return status;
}

void fg_loss_free(fg_loss *loss) {
  free(loss->gold);
  free(loss->minerals);
  loss->gold = NULL;
  loss->minerals = NULL;
}
