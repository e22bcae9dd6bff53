/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/ensemble.h"
#include "stats/band.h"
#include "study/fine.h"
#include "study/plan.h"

/* Every number of a run that has a band, by its place in the struct. */
#define IN(field) offsetof(fg_loss, field)
static const size_t run_fields[] = {
    IN(machine.air.density_kg_m3),
    IN(machine.air.viscosity_pa_s),
    IN(machine.screen_share),
    IN(machine.screen_blinded),
    IN(machine.clods),
    IN(machine.sauter_m),
    IN(machine.voidage),
    IN(machine.feed_kg_s),
    IN(machine.deck_feed_kg_s),
    IN(machine.fluidising_m_s),
    IN(machine.wen_yu_m_s),
    IN(machine.cohesion_pa),
    IN(machine.capacity_margin),
    IN(machine.at.depth_m),
    IN(machine.at.box_pressure_pa),
    IN(machine.at.blower_pressure_pa),
    IN(machine.at.blower_flow_m3_s),
    IN(machine.at.gate_flow_m3_s),
    IN(machine.at.leak_flow_m3_s),
    IN(machine.at.open_velocity_m_s),
    IN(machine.at.quiet_velocity_m_s),
    IN(machine.at.support_open),
    IN(machine.at.support_quiet),
    IN(machine.at.support_mean),
    IN(machine.at.shake.speed_hz),
    IN(machine.at.shake.amplitude_m),
    IN(machine.at.shake.gamma),
    IN(machine.bed_speed_m_s),
    IN(machine.residence_s),
    IN(machine.shear_1_s),
    IN(machine.viscosity_pa_s),
    IN(machine.coverage),
    IN(water_tail),
    IN(kept),
    IN(stuck),
    IN(blown_off),
    IN(carried),
    IN(shaken_out),
    IN(full),
    IN(screened_off),
    IN(kept_kg_s),
    IN(lost_kg_s),
    IN(feed_kg_s),
    IN(feed_m3_s),
    IN(in_place_m3_s),
    IN(deck_feed_kg_s),
    IN(concentrate_kg_s),
    IN(half_kept_m),
    IN(fill[0]),
};
enum { RUN_FIELDS = sizeof run_fields / sizeof run_fields[0] };

#define OF(field) offsetof(fg_class_loss, field)
static const size_t class_fields[] = {OF(share),   OF(settling_m_s), OF(sinking_m_s),
                                      OF(kept),    OF(stuck),        OF(blown_off),
                                      OF(carried), OF(shaken_out),   OF(full)};
enum { CLASS_FIELDS = sizeof class_fields / sizeof class_fields[0] };

static double *number_at(void *base, size_t offset) {
  return (double *)(void *)((char *)base + offset);
}

typedef struct gathering {
  size_t samples, gold, minerals, figures;
  double *figure; /* [figure][sample]: one number of all members side by side */
  const fg_loss_options *options;
  fg_bands *bands;
} gathering;

/* Numbers a member and its classes hold. */
static size_t figure_count(size_t gold, size_t minerals) {
  return RUN_FIELDS + FG_RIFFLES_MAX - 1 + (gold + minerals) * CLASS_FIELDS;
}

/* Visits every number of a run in a fixed order. */
typedef void (*visitor)(double *number, size_t figure, void *context);
static void visit(fg_loss *loss, size_t gold, size_t minerals, visitor call, void *context) {
  size_t figure = 0;
  for (size_t i = 0; i < RUN_FIELDS; ++i)
    call(number_at(loss, run_fields[i]), figure++, context);
  for (size_t i = 1; i < FG_RIFFLES_MAX; ++i)
    call(&loss->fill[i], figure++, context);
  for (size_t k = 0; k < gold + minerals; ++k) {
    fg_class_loss *c = k < gold ? &loss->gold[k] : &loss->minerals[k - gold];
    for (size_t i = 0; i < CLASS_FIELDS; ++i)
      call(number_at(c, class_fields[i]), figure++, context);
  }
}

typedef struct storing {
  gathering *g;
  size_t index;
} storing;

static void store(double *number, size_t figure, void *context) {
  const storing *s = context;
  s->g->figure[figure * s->g->samples + s->index] = *number;
}

static fg_status judge_member(const fg_scenario *member, size_t index, void *context) {
  gathering *g = context;
  fg_loss loss;
  const fg_status status = fg_loss_run(member, g->options, &loss);
  if (status != FG_OK)
    return status;
  g->bands->output[index] = loss.kept;
  g->bands->fine[index] = fg_fine_kept(&loss);
  storing s = {g, index};
  /* A screen drawn finer or coarser may cut the sand into other classes. */
  const bool same = loss.gold_count == g->gold && loss.mineral_count == g->minerals;
  visit(&loss, same ? g->gold : 0, same ? g->minerals : 0, store, &s);
  fg_loss_free(&loss);
  return FG_OK;
}

/* One end of every band. */
typedef struct telling {
  const fg_band *band; /* [figure] */
  int end;
} telling;

static void tell(double *number, size_t figure, void *context) {
  const telling *t = context;
  const fg_band *band = &t->band[figure];
  *number = t->end == FG_LOW ? band->low : t->end == FG_MID ? band->mid : band->high;
}

static fg_status copy_shape(const fg_loss *nominal, fg_loss *copy) {
  *copy = *nominal;
  copy->gold = calloc(nominal->gold_count + 1, sizeof *copy->gold);
  copy->minerals = calloc(nominal->mineral_count + 1, sizeof *copy->minerals);
  if (!copy->gold || !copy->minerals)
    return FG_EMEMORY;
  if (nominal->gold_count > 0)
    memcpy(copy->gold, nominal->gold, nominal->gold_count * sizeof *copy->gold);
  if (nominal->mineral_count > 0)
    memcpy(copy->minerals, nominal->minerals, nominal->mineral_count * sizeof *copy->minerals);
  return FG_OK;
}

/* Stalled members lose their place in the bands but not in the share that stalls. */
static fg_status tell_bands(const fg_loss *nominal, const gathering *g) {
  fg_bands *bands = g->bands;
  const size_t n = g->samples;
  const double *weight = bands->plan.weight;
  double *scratch = calloc(2 * n, sizeof *scratch);
  fg_band *band = calloc(g->figures, sizeof *band);
  fg_status status = scratch && band ? FG_OK : FG_EMEMORY;
  if (status == FG_OK) {
    for (size_t i = 0; i < g->figures; ++i)
      band[i] = fg_weighted_band(g->figure + i * n, weight, n, scratch);
    bands->fine_at = fg_weighted_band(bands->fine, weight, n, scratch);
  }
  for (int q = FG_LOW; q <= FG_HIGH && status == FG_OK; ++q) {
    telling t = {band, q};
    status = copy_shape(nominal, &bands->at[q]);
    if (status == FG_OK)
      visit(&bands->at[q], g->gold, g->minerals, tell, &t);
  }
  free(scratch);
  free(band);
  return status;
}

static fg_status gather(const fg_scenario *scenario, const fg_loss *nominal, gathering *g) {
  fg_bands *bands = g->bands;
  const size_t n = g->samples;
  for (size_t i = 0; i < g->figures * n; ++i)
    g->figure[i] = NAN;
  for (size_t i = 0; i < n; ++i)
    bands->output[i] = bands->fine[i] = NAN;
  fg_status status = fg_plan_weigh(&bands->plan, scenario);
  if (status == FG_OK)
    status = fg_plan_run(&bands->plan, scenario, n, judge_member, g, &bands->stall_share);
  return status == FG_OK ? tell_bands(nominal, g) : status;
}

fg_band fg_bands_of(const fg_bands *bands, size_t offset) {
  double end[3];
  for (int q = FG_LOW; q <= FG_HIGH; ++q)
    end[q] = *(const double *)(const void *)((const char *)&bands->at[q] + offset);
  return (fg_band){end[FG_LOW], end[FG_MID], end[FG_HIGH]};
}

fg_status fg_ensemble_run(const fg_scenario *scenario, const fg_loss *nominal,
                          const fg_loss_options *options, size_t samples, unsigned long seed,
                          fg_bands *bands) {
  fg_bands b = {.samples = samples, .seed = seed};
  fg_status status = fg_plan_new(scenario, samples, seed, &b.plan);
  if (status != FG_OK)
    return status;
  gathering g = {.samples = samples,
                 .gold = nominal->gold_count,
                 .minerals = nominal->mineral_count,
                 .options = options,
                 .bands = &b};
  g.figures = figure_count(g.gold, g.minerals);
  g.figure = calloc(g.figures * samples, sizeof *g.figure);
  b.output = calloc(samples, sizeof *b.output);
  b.fine = calloc(samples, sizeof *b.fine);
  status = g.figure && b.output && b.fine ? gather(scenario, nominal, &g) : FG_EMEMORY;
  free(g.figure);
  if (status == FG_OK)
    *bands = b;
  else
    fg_ensemble_free(&b);
  return status;
}

void fg_ensemble_free(fg_bands *bands) {
  for (int q = 0; q < 3; ++q)
    fg_loss_free(&bands->at[q]);
  fg_plan_free(&bands->plan);
  free(bands->output);
  free(bands->fine);
  bands->output = bands->fine = NULL;
}
