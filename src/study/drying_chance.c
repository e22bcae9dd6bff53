/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chances of the drying, over grounds that fit what is known of this one. */
#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "flourgold/settings.h"
#include "physics/soil.h"
#include "study/drying_internal.h"

/* Longer ago than this a start no longer matters. */
enum { DAYS_MAX = 1000, TRIES = 100 };

static const double evaporation_doubt = 0.10; /* of reference evaporation */
static const double stage_doubt = 0.20;       /* of Ritchie's coefficient */
static const double density_doubt = 0.05;     /* of the density in place */
static const double given_doubt = 0.10;       /* of a soil value the user gave */
static const double measured_doubt = 0.003;   /* of a weighed moisture */
static const double deepest_start_m = 0.5;    /* length of the dry profile it may start with */

/* One ground that may be. */
typedef struct member {
  fg_ground column;
  fg_ground_water water;
  double power; /* on reference evaporation */
} member;

static double within(gsl_rng *rng, fg_range range) {
  return gsl_ran_flat(rng, range.low, range.high);
}

/* A value with a relative doubt, never more than three of it off. */
static double about(gsl_rng *rng, double value, double doubt) {
  double z = gsl_ran_gaussian(rng, 1.0);
  for (int i = 0; i < TRIES && fabs(z) > 3.0; ++i)
    z = gsl_ran_gaussian(rng, 1.0);
  return value * exp(doubt * fmax(-3.0, fmin(3.0, z)));
}

/* Field capacity and wilting point: from their class's ranges, or about what was given. */
static void draw_water(const fg_scenario *s, gsl_rng *rng, double *capacity, double *wilting) {
  const fg_soil_class *soil = &fg_soil_classes[s->soil.class_index];
  *capacity = s->soil.field_capacity;
  *wilting = s->soil.wilting_point;
  if (fg_setting_given(s, FG_SET_SOIL_FIELD_CAPACITY) ||
      fg_setting_given(s, FG_SET_SOIL_WILTING_POINT)) {
    *capacity = fmin(0.9, about(rng, *capacity, given_doubt));
    *wilting = fmin(0.95 * *capacity, about(rng, *wilting, given_doubt));
    return;
  }
  for (int i = 0; i < TRIES; ++i) {
    const double held = within(rng, soil->field_capacity);
    const double dry = held - within(rng, soil->between);
    if (dry < soil->wilting_point.low || dry > soil->wilting_point.high)
      continue;
    *capacity = held;
    *wilting = dry;
    return;
  }
}

static fg_status draw_column(const fg_scenario *s, gsl_rng *rng, fg_ground *c) {
  const fg_soil_class *soil = &fg_soil_classes[s->soil.class_index];
  fg_scenario drawn = *s;
  draw_water(s, rng, &drawn.soil.field_capacity, &drawn.soil.wilting_point);
  drawn.soil.saturation = fmin(0.95, fmax(s->soil.saturation, 1.02 * drawn.soil.field_capacity));
  drawn.soil.tew =
      fg_setting_given(s, FG_SET_SOIL_TEW)
          ? about(rng, s->soil.tew, given_doubt)
          : (drawn.soil.field_capacity - 0.5 * drawn.soil.wilting_point) * s->soil.layer;
  drawn.soil.rew = fg_setting_given(s, FG_SET_SOIL_REW)
                       ? fmin(0.95 * drawn.soil.tew, about(rng, s->soil.rew, given_doubt))
                       : fg_class_rew(soil, s->soil.layer, s->soil.tew, within(rng, soil->rew_m));
  drawn.soil.rew = fmin(drawn.soil.rew, 0.95 * drawn.soil.tew);
  drawn.soil.second_stage = about(rng, s->soil.second_stage, stage_doubt);
  drawn.ground.bulk_density = about(rng, s->ground.bulk_density, density_doubt);
  return fg_scenario_ground(&drawn, c);
}

static fg_status draw_member(const fg_scenario *s, gsl_rng *rng, member *m) {
  const fg_status status = draw_column(s, rng, &m->column);
  m->power = about(rng, 1.0, evaporation_doubt);
  const double share = gsl_ran_flat(rng, 0.0, 1.0);
  fg_ground_dried(&m->column, share, gsl_ran_flat(rng, 0.0, deepest_start_m), &m->water);
  return status;
}

/* A measurement wetter than this ground can hold leaves it full. */
static void measure(const fg_scenario *s, double moisture, gsl_rng *rng, member *m) {
  const double seen = fmax(0.0, moisture + gsl_ran_gaussian(rng, measured_doubt));
  if (fg_ground_measured(&m->column, s->soil.depth, seen, &m->water) != FG_OK)
    m->water = (fg_ground_water){.excess_m = (m->column.saturation - m->column.field_capacity) *
                                             m->column.flooded_m};
}

static fg_status run_member(const fg_scenario *s, const fg_drying_options *o, gsl_rng *rng,
                            const fg_drying *drying, size_t first, member *m, unsigned *dry) {
  size_t next = 0;
  for (size_t i = first; i < drying->count; ++i) {
    const fg_drying_day *d = &drying->days[i];
    const fg_ground_day day = fg_drying_ground_day(d, m->power);
    fg_ground_result result;
    const fg_status status = fg_ground_step(&m->column, &day, &m->water, &result);
    if (status != FG_OK)
      return status;
    while (next < o->measurement_count && o->measured[next].day < d->day)
      ++next;
    if (d->measured && next < o->measurement_count)
      measure(s, o->measured[next].moisture, rng, m);
    if (fg_drying_open(d) &&
        fg_ground_mean_moisture(&m->column, &m->water, s->soil.depth) <= drying->damp.limit)
      ++dry[i];
  }
  return FG_OK;
}

fg_status fg_drying_chances(const fg_scenario *scenario, const fg_drying_options *options,
                            fg_drying *drying) {
  const size_t first = drying->count > DAYS_MAX ? drying->count - DAYS_MAX : 0;
  unsigned *dry = calloc(drying->count, sizeof *dry);
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  fg_status status = dry && rng ? FG_OK : FG_EMEMORY;
  if (status == FG_OK)
    gsl_rng_set(rng, options->seed);
  for (size_t k = 0; k < options->samples && status == FG_OK; ++k) {
    member m;
    status = draw_member(scenario, rng, &m);
    if (status == FG_OK)
      status = run_member(scenario, options, rng, drying, first, &m, dry);
  }
  for (size_t i = first; i < drying->count && status == FG_OK; ++i)
    drying->days[i].chance = (double)dry[i] / (double)options->samples;
  if (rng)
    gsl_rng_free(rng);
  free(dry);
  return status;
}
