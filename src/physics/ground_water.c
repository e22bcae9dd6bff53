/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/ground_water.h"

#include <math.h>

#include "core/roots.h"
#include "physics/evaporation.h"

enum { SUBSTEPS = 4, N = FG_GROUND_CELLS };

static const double water_kg_m3 = 1000.0;
static const double day_s = 86400.0;
static const double growth = 1.08; /* each cell over the one above it */

static bool sound(const fg_ground *c) {
  return c->residual >= 0.0 && c->residual < c->field_capacity &&
         c->field_capacity <= c->saturation && c->saturation < 1.0 && c->layer_m > 0.0 &&
         c->rew_m >= 0.0 && c->rew_m < c->tew_m && c->second_stage_m > 0.0 && c->hold >= 0.0 &&
         c->hold <= 1.0 && c->flooded_m > 0.0 && c->below_m > 0.0 && c->dry_kg_m3 > 0.0;
}

static double range_of(const fg_ground *c) { return c->field_capacity - c->residual; }

static double first_cell(const fg_ground *c) {
  return c->below_m * (growth - 1.0) / (pow(growth, N) - 1.0);
}

void fg_ground_at_capacity(fg_ground_water *water) { *water = (fg_ground_water){0}; }

/* Integral of erfc from 0 to u. */
static double erfc_integral(double u) {
  return u * erfc(u) - expm1(-u * u) / sqrt(3.14159265358979323846);
}

void fg_ground_dried(const fg_ground *column, double share, double length_m,
                     fg_ground_water *water) {
  *water = (fg_ground_water){.depletion_m = share * column->tew_m};
  water->second_m = fmax(0.0, water->depletion_m - column->rew_m);
  double width = first_cell(column), top = 0.0, before = 0.0;
  for (int i = 0; i < N && length_m > 0.0; ++i) {
    const double whole = length_m * erfc_integral((top + width) / length_m);
    water->missing_m[i] = share * range_of(column) * (whole - before);
    water->second_m += water->missing_m[i];
    before = whole;
    top += width;
    width *= growth;
  }
}

double fg_ground_missing(const fg_ground_water *water) {
  double sum = water->depletion_m - water->excess_m;
  for (int i = 0; i < N; ++i)
    sum += water->missing_m[i];
  return sum;
}

/* ---- a day ---- */

/* Water that leaves the layer fills what lies below it from the top down. */
static void percolate(double water_m, fg_ground_water *w, fg_ground_result *r) {
  r->percolation_m += water_m;
  for (int i = 0; i < N && water_m > 0.0; ++i) {
    const double filled = fmin(w->missing_m[i], water_m);
    w->missing_m[i] -= filled;
    water_m -= filled;
  }
  r->drained_m += water_m;
}

/* One implicit step of diffusion of what is missing (by volume) below the layer.  `foot` is
 * what is missing at the layer's foot, or with `flux_m` above 0 that much is drawn instead. */
typedef struct diffusion {
  double diffusivity, step_s;
  double width[N];
} diffusion;

static void diffuse(const diffusion *d, double foot, double flux_m, double c[N]) {
  double upper[N], rhs[N];
  double from_above = 2.0 * d->diffusivity * d->step_s / d->width[0];
  for (int i = 0; i < N; ++i) {
    const double to_below =
        i + 1 < N ? 2.0 * d->diffusivity * d->step_s / (d->width[i] + d->width[i + 1]) : 0.0;
    double diagonal = d->width[i] + to_below, right = d->width[i] * c[i];
    if (i > 0) {
      diagonal += from_above + from_above * upper[i - 1];
      right += from_above * rhs[i - 1];
    } else if (flux_m >= 0.0) {
      right += flux_m;
    } else {
      diagonal += from_above;
      right += from_above * foot;
    }
    upper[i] = -to_below / diagonal;
    rhs[i] = right / diagonal;
    from_above = to_below;
  }
  c[N - 1] = rhs[N - 1];
  for (int i = N - 2; i >= 0; --i)
    c[i] = rhs[i] - upper[i] * c[i + 1];
}

/* Draws water up through the layer, at most `power_m` of it; returns how much. */
static double draw_substep(const diffusion *d, double foot, double power_m, double c[N]) {
  double tried[N];
  double drawn = 0.0;
  for (int i = 0; i < N; ++i) {
    tried[i] = c[i];
    drawn -= d->width[i] * c[i];
  }
  diffuse(d, foot, -1.0, tried);
  for (int i = 0; i < N; ++i)
    drawn += d->width[i] * tried[i];
  if (drawn < 0.0 || drawn > power_m) { /* a layer wetter than what lies below draws nothing */
    drawn = fmax(0.0, fmin(drawn, power_m));
    diffuse(d, foot, drawn, c);
    return drawn;
  }
  for (int i = 0; i < N; ++i)
    c[i] = tried[i];
  return drawn;
}

/* Missing at the layer's foot: of a layer that dries by diffusion from the surface the foot is the
 * last to dry.  The power is that of an error-function profile (Crank 1975, eq. 3.13), whose value
 * at the foot is 0.16, 0.48 and 0.72 of that at the surface where its mean over the layer is 0.51,
 * 0.73 and 0.87 of it. */
static double missing_at_foot(const fg_ground *c, double depletion_m) {
  const double second = fmax(0.0, depletion_m - c->rew_m) / (c->tew_m - c->rew_m);
  return range_of(c) * pow(fmin(1.0, second), 2.5);
}

/* What Ritchie's law lets go in `days` after `lost_m` is gone, at most a power. */
static double second_stage(const fg_ground *c, double lost_m, double days, double power_m) {
  const double squared = lost_m * lost_m + c->second_stage_m * c->second_stage_m * days;
  return fmin(power_m, sqrt(squared) - lost_m);
}

/* What is left of a spell of days and its power. */
typedef struct spell {
  double days, power_m;
} spell;

static void shorten(spell *left, double share) {
  left->days *= 1.0 - share;
  left->power_m *= 1.0 - share;
}

/* Evaporates from the layer alone: what it gives readily at full power, then a shower that fell
 * on it in its second stage. */
static void dry_layer(const fg_ground *c, spell *left, fg_ground_water *w) {
  const double readily = fmin(left->power_m, fmax(0.0, c->rew_m - w->depletion_m));
  if (!(left->power_m > 0.0))
    return;
  shorten(left, readily / left->power_m);
  w->depletion_m += readily;
  w->shower_m = fmax(0.0, w->shower_m - readily);
  const double most =
      second_stage(c, fmax(0.0, w->depletion_m - c->rew_m), left->days, left->power_m);
  const double shower = fmin(most, w->shower_m);
  if (!(shower > 0.0))
    return;
  shorten(left, shower / most);
  w->depletion_m = fmin(c->tew_m, w->depletion_m + shower);
  w->shower_m -= shower;
}

/* Part of a day's evaporation: the layer alone, then by Ritchie's law layer and what lies below
 * together. */
static void dry_substep(const fg_ground *column, const diffusion *d, double power_m, double c[N],
                        fg_ground_water *w, fg_ground_result *r) {
  const double before = w->depletion_m;
  spell left = {d->step_s / day_s, power_m};
  dry_layer(column, &left, w);
  const double second = second_stage(column, w->second_m, left.days, left.power_m);
  const double below = draw_substep(d, missing_at_foot(column, w->depletion_m), second, c);
  const double layer = fmin(second - below, column->tew_m - w->depletion_m);
  w->depletion_m += layer;
  w->second_m += below + layer;
  r->evaporation_below_m += below;
  r->evaporation_m += w->depletion_m - before + below;
}

static fg_status dry(const fg_ground *column, double power_m, fg_ground_water *w,
                     fg_ground_result *r) {
  diffusion d = {.step_s = day_s / SUBSTEPS};
  double c[N];
  const fg_status status =
      fg_ritchie_diffusivity(column->second_stage_m, range_of(column), &d.diffusivity);
  if (status != FG_OK)
    return status;
  double width = first_cell(column);
  for (int i = 0; i < N; ++i) {
    d.width[i] = width;
    c[i] = w->missing_m[i] / width;
    width *= growth;
  }
  for (int k = 0; k < SUBSTEPS; ++k)
    dry_substep(column, &d, power_m / SUBSTEPS, c, w, r);
  for (int i = 0; i < N; ++i)
    w->missing_m[i] = fmax(0.0, c[i]) * d.width[i];
  return FG_OK;
}

/* Rain fills the layer.  What it brought dries first; what it filled below sets the second stage
 * back. */
static void rain(const fg_ground *column, double rain_m, fg_ground_water *w, fg_ground_result *r) {
  const double kept = fmin(rain_m, w->depletion_m);
  if (!(rain_m > 0.0))
    return;
  w->depletion_m -= kept;
  w->shower_m += kept;
  percolate(rain_m - kept, w, r);
  const double missing = fg_ground_missing(w) + w->excess_m + w->shower_m;
  w->second_m = fmin(w->second_m, fmax(0.0, missing - column->rew_m));
}

/* A wash ran: everything is filled and what is flooded saturated. */
static void flood(const fg_ground *c, fg_ground_water *w, fg_ground_result *r) {
  const double before = fg_ground_missing(w);
  *w = (fg_ground_water){.excess_m = (c->saturation - c->field_capacity) * c->flooded_m};
  r->flood_m = before - fg_ground_missing(w);
}

fg_status fg_ground_step(const fg_ground *column, const fg_ground_day *day, fg_ground_water *water,
                         fg_ground_result *result) {
  if (!sound(column) || !(day->rain_m >= 0.0) || !isfinite(day->et0_m) || !(day->kc_max > 0.0))
    return FG_EDOMAIN;
  fg_ground_water w = *water;
  fg_ground_result r = {0};
  double power = day->kc_max * fmax(0.0, day->et0_m);
  const double left = column->hold * w.excess_m;
  percolate(w.excess_m - left, &w, &r);
  const double from_excess = fmin(power, left);
  w.excess_m = left - from_excess;
  power -= from_excess;
  w.depletion_m = fmin(w.depletion_m, column->tew_m);
  rain(column, day->rain_m, &w, &r);
  const fg_status status = dry(column, power, &w, &r);
  if (status != FG_OK)
    return status;
  r.kr = power > 0.0 ? fmin(1.0, r.evaporation_m / power) : 1.0;
  r.ke = r.kr * day->kc_max;
  r.evaporation_m += from_excess;
  if (day->flooded)
    flood(column, &w, &r);
  *water = w;
  *result = r;
  return FG_OK;
}

/* ---- where the water lies ---- */

static double by_mass(const fg_ground *c, double by_volume) {
  return by_volume * water_kg_m3 / c->dry_kg_m3;
}

static double layer_missing(const fg_ground *c, const fg_ground_water *w) {
  return range_of(c) * w->depletion_m / c->tew_m;
}

/* Missing (by volume) at a depth below the layer's foot: straight lines between the middles of
 * the cells. */
static double missing_at(const fg_ground *c, const fg_ground_water *w, double depth_m) {
  double width = first_cell(c), top = 0.0;
  double left = 0.0, left_value = fmax(layer_missing(c, w), w->missing_m[0] / width);
  for (int i = 0; i < N; ++i) {
    const double middle = top + 0.5 * width, value = w->missing_m[i] / width;
    if (depth_m <= middle)
      return left_value + (value - left_value) * (depth_m - left) / (middle - left);
    left = middle;
    left_value = value;
    top += width;
    width *= growth;
  }
  return left_value;
}

double fg_ground_moisture(const fg_ground *column, const fg_ground_water *water, double depth_m) {
  double volume = column->field_capacity;
  if (depth_m <= column->layer_m)
    volume -= layer_missing(column, water);
  else
    volume -= missing_at(column, water, depth_m - column->layer_m);
  if (depth_m <= column->flooded_m)
    volume += water->excess_m / column->flooded_m;
  return by_mass(column, volume);
}

double fg_ground_mean_moisture(const fg_ground *column, const fg_ground_water *water,
                               double depth_m) {
  const double in_layer = fmin(depth_m, column->layer_m), below = depth_m - in_layer;
  double held = column->field_capacity * depth_m - layer_missing(column, water) * in_layer;
  double width = first_cell(column), top = 0.0;
  for (int i = 0; i < N && top < below; ++i) {
    held -= water->missing_m[i] * fmin(1.0, (below - top) / width);
    top += width;
    width *= growth;
  }
  held += water->excess_m * fmin(1.0, depth_m / column->flooded_m);
  return by_mass(column, held / depth_m);
}

typedef struct depth_case {
  const fg_ground *column;
  const fg_ground_water *water;
  double limit;
} depth_case;

static double over_limit(double depth_m, void *context) {
  const depth_case *c = context;
  return fg_ground_mean_moisture(c->column, c->water, depth_m) - c->limit;
}

double fg_ground_dry_depth(const fg_ground *column, const fg_ground_water *water, double limit,
                           double most_m) {
  depth_case c = {column, water, limit};
  double depth;
  if (over_limit(most_m, &c) <= 0.0)
    return most_m;
  const double least = 1e-3 * most_m;
  if (over_limit(least, &c) > 0.0)
    return 0.0;
  return fg_root(over_limit, &c, least, most_m, 1e-6, &depth) == FG_OK ? depth : 0.0;
}

/* ---- a measured moisture ---- */

typedef struct measured_case {
  const fg_ground *column;
  double depth_m, moisture;
} measured_case;

/* Excess of the mean moisture over the measured one, the layer dry and a profile of this
 * length (m) below it. */
static double too_wet(double length_m, void *context) {
  const measured_case *c = context;
  fg_ground_water w;
  fg_ground_dried(c->column, 1.0, length_m, &w);
  return fg_ground_mean_moisture(c->column, &w, c->depth_m) - c->moisture;
}

/* Dries the ground more than the column allows, by lowering what stays in it; `driest` is the
 * mean moisture at its driest. */
static void lower_residual(fg_ground *column, double moisture, double driest) {
  const double capacity = by_mass(column, column->field_capacity);
  const double stretch = (capacity - moisture) / (capacity - driest);
  const double residual = fmax(0.0, column->field_capacity - range_of(column) * stretch);
  column->tew_m *= (column->field_capacity - residual) / range_of(column);
  column->residual = residual;
}

fg_status fg_ground_measured(fg_ground *column, double depth_m, double moisture,
                             fg_ground_water *water) {
  const double volume = moisture * column->dry_kg_m3 / water_kg_m3;
  if (!sound(column) || !(depth_m > 0.0) || !(depth_m <= column->layer_m + column->below_m) ||
      !(moisture >= 0.0) || volume > column->saturation)
    return FG_EDOMAIN;
  if (volume > column->field_capacity) {
    const double reach = fmin(1.0, depth_m / column->flooded_m);
    const double excess = (volume - column->field_capacity) * depth_m / reach;
    *water = (fg_ground_water){.excess_m = excess};
    return FG_OK;
  }
  const double longest = 10.0 * depth_m; /* as good as dry all the way down */
  measured_case c = {column, depth_m, moisture};
  const double driest_excess = too_wet(longest, &c);
  if (driest_excess > 0.0)
    lower_residual(column, moisture, moisture + driest_excess);
  double length = longest;
  double share = 1.0;
  if (driest_excess <= 0.0) {
    const double layer_only = too_wet(0.0, &c);
    const double missing = by_mass(column, column->field_capacity) - moisture;
    if (layer_only <= 0.0) {
      share = missing / (missing - layer_only);
      length = 0.0;
    } else {
      const fg_status status = fg_root(too_wet, &c, 0.0, longest, 1e-12, &length);
      if (status != FG_OK)
        return status;
    }
  }
  fg_ground_dried(column, share, length, water);
  return FG_OK;
}
