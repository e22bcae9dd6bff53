/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/grain.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "core/roots.h"
#include "physics/grains.h"

static const double gold_kg_m3 = 19320.0, silver_kg_m3 = 10490.0;

/* Handbook densities from memory; sphericity 1 for shot and drops, else by habit. */
const fg_mineral fg_minerals[] = {
    {"quartz", FG_QUARTZ_KG_M3, 0.75, "the common sand"},
    {"feldspar", 2560.0, 0.75, "orthoclase"},
    {"mica", 2830.0, 0.30, "muscovite flakes"},
    {"calcite", 2710.0, 0.70, ""},
    {"garnet", 4000.0, 0.85, "almandine, rounded"},
    {"epidote", 3450.0, 0.75, ""},
    {"zircon", 4650.0, 0.80, ""},
    {"rutile", 4230.0, 0.75, ""},
    {"ilmenite", 4720.0, 0.80, "black sand, hardly magnetic"},
    {"hematite", 5260.0, 0.75, "black or red, not magnetic"},
    {"magnetite", FG_MAGNETITE_KG_M3, 0.80, "black sand, magnetic"},
    {"pyrite", 5010.0, 0.80, ""},
    {"barite", 4480.0, 0.70, ""},
    {"scheelite", 6010.0, 0.75, ""},
    {"cassiterite", 6990.0, 0.75, ""},
    {"galena", 7580.0, 0.80, ""},
    {"cinnabar", 8100.0, 0.75, ""},
    {"lead", 11340.0, 1.0, "shot; a tracer for gold"},
    {"steel", 7850.0, 1.0, "balls; a tracer"},
    {"platinum", 16500.0, 0.75, "native, alloyed with iron"},
};
const size_t fg_minerals_count = sizeof fg_minerals / sizeof fg_minerals[0];

const fg_mineral *fg_grain_mineral(const char *name) {
  for (size_t i = 0; i < fg_minerals_count; ++i)
    if (strcmp(fg_minerals[i].name, name) == 0)
      return &fg_minerals[i];
  return NULL;
}

const fg_mineral *fg_grain_mineral_at(size_t index) {
  return index < fg_minerals_count ? &fg_minerals[index] : NULL;
}

fg_status fg_grain_gold_density(double fineness, double *density_kg_m3) {
  if (!(fineness >= 0.0 && fineness <= 1.0))
    return FG_EDOMAIN;
  *density_kg_m3 = 1.0 / (fineness / gold_kg_m3 + (1.0 - fineness) / silver_kg_m3);
  return FG_OK;
}

fg_status fg_grain_gold_fineness(double density_kg_m3, double *fineness) {
  if (!(density_kg_m3 >= silver_kg_m3 && density_kg_m3 <= gold_kg_m3))
    return FG_EDOMAIN;
  *fineness = (1.0 / density_kg_m3 - 1.0 / silver_kg_m3) / (1.0 / gold_kg_m3 - 1.0 / silver_kg_m3);
  return FG_OK;
}

static double disc_sphericity(double f) { return pow(1.5 * f, 2.0 / 3.0) / (0.5 + f); }

fg_status fg_grain_disc(double thickness_ratio, fg_shape *shape) {
  if (!(thickness_ratio >= 0.001 && thickness_ratio <= 1.0))
    return FG_EDOMAIN;
  shape->sphericity = disc_sphericity(thickness_ratio);
  shape->broad_ratio = 1.0 / cbrt(1.5 * thickness_ratio);
  shape->flatness = thickness_ratio;
  return FG_OK;
}

static double sphericity_gap(double log_f, void *context) {
  return disc_sphericity(exp(log_f)) - *(double *)context;
}

fg_status fg_grain_of_sphericity(double sphericity, fg_shape *shape) {
  if (!(sphericity >= 0.02 && sphericity <= 1.0))
    return FG_EDOMAIN;
  const double thickest = disc_sphericity(1.0);
  if (sphericity >= thickest) {
    const double along = (sphericity - thickest) / (1.0 - thickest), narrow = 1.0 / cbrt(1.5);
    *shape = (fg_shape){sphericity, narrow + (1.0 - narrow) * along, 1.0};
    return FG_OK;
  }
  double log_f;
  const fg_status status = fg_root(sphericity_gap, &sphericity, log(0.0005), 0.0, 1e-13, &log_f);
  if (status != FG_OK)
    return status;
  *shape = (fg_shape){sphericity, 1.0 / cbrt(1.5 * exp(log_f)), exp(log_f)};
  return FG_OK;
}

double fg_disc_equal_volume(double diameter_m, double thickness_ratio) {
  return diameter_m * cbrt(1.5 * thickness_ratio);
}

double fg_disc_mass(double diameter_m, double thickness_ratio, double density_kg_m3) {
  return density_kg_m3 * 0.25 * M_PI * diameter_m * diameter_m * diameter_m * thickness_ratio;
}

double fg_lognormal_cdf(double size_m, double median_m, double spread) {
  if (size_m <= 0.0)
    return 0.0;
  return gsl_cdf_ugaussian_P(log(size_m / median_m) / log(spread));
}

fg_status fg_lognormal_below(double median_m, double spread, double cut_m, double *share,
                             double *sauter_m) {
  if (!(median_m > 0.0 && cut_m > 0.0 && spread > 1.0))
    return FG_EDOMAIN;
  const double s = log(spread), z = log(cut_m / median_m) / s;
  const double below = gsl_cdf_ugaussian_P(z);
  const double inverse = exp(0.5 * s * s) / median_m * gsl_cdf_ugaussian_P(z + s);
  if (!(below > 1e-12 && inverse > 0.0))
    return FG_EDOMAIN;
  *share = below;
  *sauter_m = below / inverse;
  return FG_OK;
}

fg_status fg_voidage(double bulk_kg_m3, double grain_kg_m3, double *voidage) {
  const double e = 1.0 - bulk_kg_m3 / grain_kg_m3;
  if (!(e >= 0.05 && e <= 0.95))
    return FG_EDOMAIN;
  *voidage = e;
  return FG_OK;
}
