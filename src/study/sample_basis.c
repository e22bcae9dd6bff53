/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From gold in the ground to colours in a bucket. */
#include <math.h>
#include <stdlib.h>

#include "flourgold/loss.h"
#include "model/deck.h"
#include "physics/grains.h"
#include "study/sampling.h"

/* Gold of classes that a catch cannot tell about is left out. */
static double known_share(double share) { return isnan(share) ? 0.0 : share; }

static void set_class(const fg_scenario *s, double lower, double upper, double share,
                      double recovery, fg_sample_class *out) {
  const double size = sqrt(lower * upper);
  const double grain = fg_disc_mass(size, s->gold.thickness_ratio, s->gold.density);
  *out = (fg_sample_class){.lower_m = lower,
                           .upper_m = upper,
                           .size_m = size,
                           .share = known_share(share),
                           .grain_kg = grain,
                           .recovery = recovery,
                           .per_gold = known_share(share) * recovery / grain};
}

static fg_status from_deck(const fg_scenario *s, const fg_loss *loss, fg_sample_basis *basis) {
  const bool panned = s->sample.method == FG_SAMPLE_PAN;
  basis->classes = calloc(loss->gold_count, sizeof *basis->classes);
  if (!basis->classes)
    return FG_EMEMORY;
  basis->count = loss->gold_count;
  for (size_t k = 0; k < basis->count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    set_class(s, g->lower_m, g->upper_m, g->share, panned ? 1.0 : g->passing * g->kept,
              &basis->classes[k]);
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
    set_class(s, classes[k].lower_m, classes[k].upper_m, classes[k].share, 1.0, &basis->classes[k]);
  basis->gold_share_running = NAN;
  basis->ground_m3_s = NAN;
  return FG_OK;
}

fg_status fg_sample_basis_new(const fg_scenario *s, fg_sample_basis *basis) {
  fg_loss loss;
  fg_sample_basis found = {.in_place_m3 = s->sample.bucket / s->ground.swell,
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

/* The part of a class between two sizes: its mass share, and how many grains it holds over as
 * many of the class's own size. */
static double part_of(const fg_sample_class *c, double lower, double upper, double *grains) {
  const double low = fmax(c->lower_m, lower), high = fmin(c->upper_m, upper);
  *grains = 0.0;
  if (!(low < high))
    return 0.0;
  const double part = log(high / low) / log(c->upper_m / c->lower_m);
  *grains = part * pow(c->size_m / sqrt(low * high), 3);
  return part;
}

double fg_sample_colours(const fg_sample_basis *basis, double grade, double lower_m,
                         double upper_m) {
  double found = 0.0, grains;
  for (size_t k = 0; k < basis->count; ++k) {
    (void)part_of(&basis->classes[k], lower_m, upper_m, &grains);
    found += basis->classes[k].per_gold * grains;
  }
  return grade * basis->in_place_m3 * found;
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
  double share = 0.0, grains;
  for (size_t k = 0; k < basis->count; ++k)
    share += basis->classes[k].share * part_of(&basis->classes[k], lower_m, upper_m, &grains);
  return share;
}
