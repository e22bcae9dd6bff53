/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/catch.h"

#include <math.h>

/* Sizes of one kind lie within this factor. */
static const double widest = 4.0 / 3.0;
/* The error of the scale is not taken below the range over this. */
static const double finest = 1000.0;
/* Grains less likely than this do not stretch the range. */
static const double unlikely = 1e-5;
/* What the sum leaves of a density that is none, over the width of the error. */
static const double rounding = 1e-10;
static const double negligible = -21.0; /* ln */
enum { TERMS_MOST = 40000 };

size_t fg_catch_grains(const fg_sample_basis *basis, double grade, double in_place_m3,
                       fg_catch_kind kinds[FG_CATCH_KINDS_MAX]) {
  const double gold = grade * in_place_m3;
  size_t count = 0;
  for (size_t k = 0; k < basis->count; ++k) {
    const fg_sample_class *c = &basis->classes[k];
    const double wide = log(c->upper_m / c->lower_m);
    const int parts = (int)fmin(1000.0, ceil(wide / log(widest)));
    for (int i = 0; i < parts && count < FG_CATCH_KINDS_MAX; ++i) {
      const double low = c->lower_m * exp(wide * i / parts);
      const double high = c->lower_m * exp(wide * (i + 1) / parts);
      const fg_flake_part part =
          fg_flakes_between(&basis->flakes, c->lower_m, c->upper_m, low, high);
      const double found = gold * c->share * c->recovery * part.share;
      if (found > 0.0)
        kinds[count++] = (fg_catch_kind){part.grain_kg, found / part.grain_kg};
    }
  }
  return count;
}

void fg_catch_moments(const fg_catch_kind *kinds, size_t count, double *mean_kg,
                      double *variance_kg2) {
  *mean_kg = *variance_kg2 = 0.0;
  for (size_t k = 0; k < count; ++k) {
    *mean_kg += kinds[k].expected * kinds[k].mass_kg;
    *variance_kg2 += kinds[k].expected * kinds[k].mass_kg * kinds[k].mass_kg;
  }
}

/* Mass beyond which the sum has next to no chance to lie: ten deviations, and more where single
 * heavy grains count. */
static double range_of(const fg_catch_kind *kinds, size_t count, double error_kg) {
  double mean, variance, heavy = 0.0;
  fg_catch_moments(kinds, count, &mean, &variance);
  for (size_t k = 0; k < count; ++k)
    if (kinds[k].expected > unlikely)
      heavy = fmax(heavy, kinds[k].mass_kg);
  return mean + 10.0 * sqrt(variance + error_kg * error_kg) + 4.0 * heavy;
}

/* A point of the characteristic function of the sum less what was found. */
typedef struct phi {
  double log_size, angle;
  double settled; /* the part of log_size that only falls further on */
} phi;

static phi characteristic(const fg_catch_kind *kinds, size_t count, double error_kg,
                          double found_kg, double t, double t_last) {
  phi p = {-0.5 * error_kg * error_kg * t * t, -found_kg * t, -0.5 * error_kg * error_kg * t * t};
  for (size_t k = 0; k < count; ++k) {
    const double turn = kinds[k].mass_kg * t, half = sin(0.5 * turn);
    const double damping = 2.0 * kinds[k].expected * half * half;
    p.log_size -= damping;
    p.settled -= kinds[k].mass_kg * t_last < M_PI ? damping : 0.0;
    p.angle += kinds[k].expected * sin(turn);
  }
  return p;
}

fg_status fg_catch_chance(const fg_catch_kind *kinds, size_t count, double error_kg,
                          double found_kg, double *at_most, double *density) {
  if (!(error_kg > 0.0) || !isfinite(found_kg))
    return FG_EDOMAIN;
  for (size_t k = 0; k < count; ++k)
    if (!(kinds[k].mass_kg > 0.0) || !(kinds[k].expected >= 0.0) || !isfinite(kinds[k].expected))
      return FG_EDOMAIN;
  const double span = fmax(range_of(kinds, count, error_kg), fabs(found_kg) + 10.0 * error_kg);
  const double error = fmax(error_kg, span / finest);
  const double step = M_PI / (span + 10.0 * error);
  const double t_last = sqrt(-2.0 * negligible) / error;
  double below = 0.5, here = 0.0;
  for (int i = 0; i < TERMS_MOST; ++i) {
    const double t = (i + 0.5) * step;
    const phi p = characteristic(kinds, count, error, found_kg, t, t_last);
    const double size = exp(p.log_size);
    below -= size * sin(p.angle) / (M_PI * (i + 0.5));
    here += size * cos(p.angle) * step / M_PI;
    if (p.settled < negligible)
      break;
  }
  if (at_most)
    *at_most = fmin(1.0, fmax(0.0, below));
  if (density)
    *density = here * error > rounding ? here : 0.0;
  return FG_OK;
}
