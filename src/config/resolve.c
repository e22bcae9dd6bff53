/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "flourgold/air.h"
#include "flourgold/config.h"
#include "flourgold/grain.h"
#include "flourgold/moisture.h"
#include "flourgold/settings.h"

static const double usual_gold_kg_m3 = 17500.0;

/* Whether a row's value was put there by the user or a catalogue. */
static bool was_given(const fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  return row >= 0 && s->origin[row] >= FG_FROM_CATALOGUE;
}

static void mark_derived(fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  if (row >= 0)
    s->origin[row] = FG_FROM_DERIVED;
}

static fg_status resolve_pressure(fg_scenario *s) {
  if (was_given(s, "site.pressure"))
    return FG_OK;
  mark_derived(s, "site.pressure");
  return fg_standard_atmosphere(s->site.elevation, NULL, &s->site.pressure);
}

static fg_status resolve_gold(fg_scenario *s) {
  if (was_given(s, "gold.density")) {
    mark_derived(s, "gold.fineness");
    if (fg_gold_fineness(s->gold.density, &s->gold.fineness) != FG_OK)
      s->gold.fineness = NAN;
    return FG_OK;
  }
  mark_derived(s, "gold.density");
  if (was_given(s, "gold.fineness"))
    return fg_gold_density(s->gold.fineness, &s->gold.density);
  s->gold.density = usual_gold_kg_m3;
  mark_derived(s, "gold.fineness");
  return fg_gold_fineness(s->gold.density, &s->gold.fineness);
}

/* Values given on another basis are kept as given, so that a study may change the bulk
 * density and resolve again. */
static void resolve_bases(fg_scenario *s) {
  if (s->run.feed_basis == FG_BASIS_VOLUME) {
    if (!(s->run.feed_volume > 0.0))
      s->run.feed_volume = s->run.feed;
    s->run.feed = s->run.feed_volume * s->ground.bulk_density;
  }
  if (s->gold.grade_basis == FG_BASIS_MASS) {
    if (!(s->gold.grade_mass > 0.0))
      s->gold.grade_mass = s->gold.grade;
    s->gold.grade = s->gold.grade_mass * s->ground.bulk_density * s->ground.swell;
  }
  if (s->hose.roughness_basis == FG_BASIS_LENGTH) {
    if (!(s->hose.roughness_height > 0.0))
      s->hose.roughness_height = s->hose.roughness;
    s->hose.roughness = s->hose.roughness_height / s->hose.diameter;
  }
}

/* Lumps hold by dry clay and by the water bonds of the fines between the grains, taken as a
 * tenth of the bed's grain size. */
static fg_status resolve_clods(fg_scenario *s) {
  if (was_given(s, "ground.clods"))
    return FG_OK;
  mark_derived(s, "ground.clods");
  double passing, sauter, voidage, water;
  fg_status status = fg_lognormal_below(s->ground.median_grain, s->ground.grain_spread,
                                        s->screen.opening, &passing, &sauter);
  if (status == FG_OK)
    status = fg_voidage(s->ground.bulk_density, 2650.0, &voidage);
  if (status == FG_OK)
    status = fg_free_water(s->ground.moisture, s->ground.clay, &water);
  if (status != FG_OK)
    return status;
  const fg_bond bond = {s->closure.bond_strength, s->closure.bond_moisture};
  const double strength = s->closure.clod_strength * s->ground.clay +
                          fg_bond_tension(&bond, 0.1 * sauter, voidage, water);
  return fg_clod_share(s->ground.clay, s->closure.clod_clay, strength, s->ground.bulk_density,
                       s->deck.drop_height, &s->ground.clods);
}

fg_status fg_scenario_resolve(fg_scenario *scenario) {
  if (scenario->gold.class_count == 0) mark_derived(scenario, "gold.classes");
  if (scenario->blower.curve_count == 0) mark_derived(scenario, "blower.curve");
  resolve_bases(scenario);
  fg_status status = resolve_pressure(scenario);
  if (status == FG_OK)
    status = resolve_gold(scenario);
  if (status == FG_OK)
    status = resolve_clods(scenario);
  return status;
}
