/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From gold in the ground to colours in a bucket. */
#include <math.h>
#include <stdlib.h>

#include "flourgold/loss.h"
#include "model/deck.h"
#include "physics/grains.h"
#include "study/sampling_internal.h"

/* Gold of classes that a catch cannot tell about is left out. */
static double known_share(double share) { return isnan(share) ? 0.0 : share; }

fg_flakes fg_sample_flakes(const fg_scenario *s) {
  const bool tabled = s->gold.class_count > 0;
  return (fg_flakes){.kg_m3 = fg_disc_mass(1.0, s->gold.thickness_ratio, s->gold.density),
                     .median_m = s->gold.median_size,
                     .spread = tabled ? 0.0 : s->gold.size_spread};
}

fg_sample_class fg_sample_class_of(const fg_flakes *flakes, double lower_m, double upper_m,
                                   double share, double recovery) {
  const fg_flake_part whole = fg_flakes_between(flakes, lower_m, upper_m, lower_m, upper_m);
  return (fg_sample_class){.lower_m = lower_m,
                           .upper_m = upper_m,
                           .share = known_share(share),
                           .grain_kg = whole.grain_kg,
                           .telling_kg = whole.telling_kg,
                           .recovery = recovery,
                           .per_gold = known_share(share) * recovery / whole.grain_kg};
}

static fg_status from_deck(const fg_scenario *s, const fg_loss *loss, fg_sample_basis *basis) {
  const bool panned = s->sample.method == FG_SAMPLE_PAN;
  basis->classes = calloc(loss->gold_count, sizeof *basis->classes);
  if (!basis->classes)
    return FG_EMEMORY;
  basis->count = loss->gold_count;
  for (size_t k = 0; k < basis->count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    basis->classes[k] = fg_sample_class_of(&basis->flakes, g->lower_m, g->upper_m, g->share,
                                           panned ? 1.0 : g->passing * g->kept);
  }
  basis->gold_share_running = loss->kept * (1.0 - loss->screened_off);
  basis->ground_m3_s = loss->in_place_m3_s;
  return FG_OK;
}

/* A pan needs no deck: a scenario whose deck stalls can still be sampled so. */
static fg_status from_pan(const fg_scenario *s, fg_sample_basis *basis) {
  fg_size_class classes[FG_GOLD_CLASSES_MAX];
  basis->count = fg_gold_classes(s, classes);
  basis->classes = calloc(basis->count, sizeof *basis->classes);
  if (!basis->classes)
    return FG_EMEMORY;
  for (size_t k = 0; k < basis->count; ++k)
    basis->classes[k] = fg_sample_class_of(&basis->flakes, classes[k].lower_m, classes[k].upper_m,
                                           classes[k].share, 1.0);
  basis->gold_share_running = NAN;
  basis->ground_m3_s = NAN;
  return FG_OK;
}

fg_status fg_sample_basis_new(const fg_scenario *s, fg_sample_basis *basis) {
  fg_loss loss;
  fg_sample_basis found = {.flakes = fg_sample_flakes(s),
                           .in_place_m3 = s->sample.bucket / s->ground.swell,
                           .bucket_kg = s->sample.bucket * s->ground.bulk_density};
  const double cycle = s->run.cleaning_interval + s->run.cleaning_time;
  found.day_s = s->run.hours * s->run.cleaning_interval / cycle;
  fg_status status = fg_loss_run(s, NULL, &loss);
  if (status != FG_OK && status != FG_ESTALL)
    return status;
  if (status == FG_OK)
    status = from_deck(s, &loss, &found);
  else if (s->sample.method == FG_SAMPLE_PAN)
    status = from_pan(s, &found);
  fg_loss_free(&loss);
  for (size_t k = 0; status == FG_OK && k < found.count; ++k)
    found.found_share += found.classes[k].share * found.classes[k].recovery;
  if (status == FG_OK)
    *basis = found;
  else
    fg_sample_basis_free(&found);
  return status;
}

void fg_sample_basis_free(fg_sample_basis *basis) {
  free(basis->classes);
  basis->classes = NULL;
  basis->count = 0;
}

double fg_sample_colours(const fg_sample_basis *basis, double grade, double lower_m,
                         double upper_m) {
  double found = 0.0;
  for (size_t k = 0; k < basis->count; ++k) {
    const fg_sample_class *c = &basis->classes[k];
    const fg_flake_part part =
        fg_flakes_between(&basis->flakes, c->lower_m, c->upper_m, lower_m, upper_m);
    if (part.share > 0.0)
      found += c->share * c->recovery * part.share / part.grain_kg;
  }
  return grade * basis->in_place_m3 * found;
}

double fg_sample_colour_kg(const fg_scenario *scenario, double lower_m, double upper_m) {
  const fg_flakes flakes = fg_sample_flakes(scenario), even = {.kg_m3 = flakes.kg_m3};
  fg_size_class classes[FG_GOLD_CLASSES_MAX];
  const size_t count = fg_gold_classes(scenario, classes);
  double mass = 0.0, grains = 0.0;
  for (size_t k = 0; k < count; ++k) {
    const fg_size_class *c = &classes[k];
    const fg_flake_part part = fg_flakes_between(&flakes, c->lower_m, c->upper_m, lower_m, upper_m);
    if (!(part.share > 0.0))
      continue;
    mass += c->share * part.share;
    grains += c->share * part.share / part.grain_kg;
  }
  if (grains > 0.0)
    return mass / grains;
  return isfinite(upper_m) ? fg_flakes_between(&even, lower_m, upper_m, lower_m, upper_m).grain_kg
                           : flakes.kg_m3 * lower_m * lower_m * lower_m;
}

double fg_sample_counted(const fg_scenario *scenario, const fg_sample_basis *basis,
                         const fg_counts *counts, double grade) {
  if (!counts || counts->column_count == 0)
    return fg_sample_colours(basis, grade, scenario->sample.visible_size, INFINITY);
  double sum = 0.0;
  for (size_t i = 0; i < counts->column_count; ++i)
    sum += fg_sample_colours(basis, grade, counts->columns[i].lower_m, counts->columns[i].upper_m);
  return sum;
}

double fg_sample_gold_share(const fg_sample_basis *basis, double lower_m, double upper_m) {
  double share = 0.0;
  for (size_t k = 0; k < basis->count; ++k) {
    const fg_sample_class *c = &basis->classes[k];
    share += c->share *
             fg_flakes_between(&basis->flakes, c->lower_m, c->upper_m, lower_m, upper_m).share;
  }
  return share;
}
