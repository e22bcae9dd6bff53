/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/bed.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <math.h>
#include <stdbool.h>

#include "flourgold/air.h"
#include "physics/flow.h"

/* Beyond the inertial number at which half its packing is lost a bed is taken to loosen no
 * further: dense flow ends there. */
static double packing_at(double rest, double loss) {
  return loss < rest ? rest * rest / (rest + loss) : 0.5 * rest;
}

double fg_bed_packing(const fg_bed *bed, double inertial) {
  return packing_at(bed->bulk_kg_m3 / bed->grain_kg_m3, bed->dilation * inertial);
}

fg_status fg_bed_lift(const fg_packing *packing, double velocity_m_s, double density_kg_m3,
                      double viscosity_pa_s, double grain_weight_pa_m, fg_lift *lift) {
  const double size = packing->sphericity * packing->diameter_m;
  if (!(size > 0.0 && velocity_m_s >= 0.0 && density_kg_m3 > 0.0 && viscosity_pa_s > 0.0 &&
        grain_weight_pa_m > 0.0))
    return FG_EDOMAIN;
  lift->viscous = 150.0 * viscosity_pa_s * velocity_m_s / (size * size * grain_weight_pa_m);
  lift->inertial = 1.75 * density_kg_m3 * velocity_m_s * velocity_m_s / (size * grain_weight_pa_m);
  return FG_OK;
}

double fg_lift_share(const fg_lift *lift, double packing) {
  const double pores = 1.0 - packing;
  const double share = (lift->viscous * packing + lift->inertial) / (pores * pores * pores);
  return share < 1.0 ? share : 1.0;
}

/* Rate at which the friction is half way up its rise. */
static double half_rate(const fg_bed *bed, double normal) {
  return bed->inertial_number * sqrt(normal / bed->grain_kg_m3) / bed->grain_m;
}

double fg_bed_resistance(const fg_bed *bed, double normal_pa, double total_1_s) {
  const double sum = total_1_s + half_rate(bed, normal_pa),
               risen = sum > 0.0 ? total_1_s / sum : 0.0;
  return normal_pa * (bed->friction_static + bed->friction_rise * risen);
}

double fg_bed_viscosity(const fg_bed *bed, double normal_pa, double total_1_s) {
  const double resistance = fg_bed_resistance(bed, normal_pa, total_1_s);
  if (!(total_1_s > 0.0))
    return resistance > 0.0 ? HUGE_VAL : bed->viscosity_pa_s;
  return bed->viscosity_pa_s + resistance / total_1_s;
}

/* A bed under the weight (Pa) of the grains above one height, across the slope and along it. */
typedef struct bed_load {
  const fg_bed *bed;
  double across, along;
  double rest;      /* packing at rest */
  double unit_rate; /* shear rate at an inertial number of 1 under 1 Pa */
} bed_load;

/* How the bed stands at an inertial number: all of *shear but its rate. */
static void stand(const bed_load *load, double inertial, fg_shear *shear) {
  const fg_bed *bed = load->bed;
  shear->inertial = inertial;
  shear->packing = packing_at(load->rest, bed->dilation * inertial);
  shear->support = fg_lift_share(&bed->lift, shear->packing);
  shear->normal_pa = load->across * (1.0 - shear->support) + bed->cohesion_pa;
  shear->resistance_pa =
      shear->normal_pa *
      (bed->friction_static + bed->friction_rise * inertial / (inertial + bed->inertial_number));
  shear->total_1_s = inertial * load->unit_rate * sqrt(shear->normal_pa);
}

typedef struct balance {
  double excess; /* resisting less driving stress; when shaken, their squares */
  double slope;  /* its derivative by the inertial number; 0: not known */
} balance;

/* Half the square of the shake's peak rate: its mean. */
static double mean_square(const fg_bed *bed) { return 0.5 * bed->shake_1_s * bed->shake_1_s; }

double fg_bed_turned(double part, double *slope) {
  double a = 1.0, b = part, sum = 0.5, weight = 1.0;
  const double side = 1.0 - part * part;
  while (a - b > 1e-6 * a) { /* the mean's error is of the order of this difference squared */
    const double c = 0.5 * (a - b), root = sqrt(a * b);
    a = 0.5 * (a + b);
    b = root;
    sum += weight * c * c / side;
    weight *= 2.0;
  }
  const double mean = 0.5 * (a + b);
  *slope = sum / mean;
  return part / mean;
}

/* Derivative of the normal stress by the inertial number. */
static double normal_slope(const bed_load *load, const fg_shear *shear) {
  const fg_bed *bed = load->bed;
  const double packing = shear->packing, pores = 1.0 - packing, kept = packing / load->rest;
  if (shear->support >= 1.0 || kept <= 0.5)
    return 0.0;
  const double by_packing =
      (bed->lift.viscous / pores + 3.0 * shear->support * pores) / (pores * pores);
  return load->across * by_packing * bed->dilation * kept * kept;
}

/* Stress against the flow of a bed that is also shaken sideways, and its derivative. */
static double shaken_stress(const fg_bed *bed, const fg_shear *shear, double total_rise,
                            double resistance_rise, double *rise) {
  const double along = shear->rate_1_s, total = shear->total_1_s, half = mean_square(bed);
  const double peak = total * total + half; /* along^2 + shake^2 */
  const double part = along / sqrt(peak), along_rise = total * total_rise / along;
  const double part_rise = part * (along_rise / along - total * total_rise / peak);
  double turned_rise;
  const double turned = fg_bed_turned(part, &turned_rise);
  *rise = bed->viscosity_pa_s * along_rise + resistance_rise * turned +
          shear->resistance_pa * turned_rise * part_rise;
  return bed->viscosity_pa_s * along + shear->resistance_pa * turned;
}

/* How the bed flows at an inertial number: all of *shear. */
static void flow(const bed_load *load, double inertial, fg_shear *shear) {
  stand(load, inertial, shear);
  const double along = shear->total_1_s * shear->total_1_s - mean_square(load->bed);
  shear->rate_1_s = along > 0.0 ? sqrt(along) : 0.0;
}

/* Squared when shaken: where the shake alone shears the bed the rate starts like a square root. */
static balance balance_at(const bed_load *load, double inertial, fg_shear *shear) {
  const fg_bed *bed = load->bed;
  flow(load, inertial, shear);
  const double total = shear->total_1_s, drive = load->along;
  const bool shaken = bed->shake_1_s > 0.0;
  if (!(shear->rate_1_s > 0.0))
    return (balance){shaken ? -drive * drive : -drive, 0.0};
  const double normal = shear->normal_pa, normal_rise = normal_slope(load, shear);
  const double total_rise = total * (1.0 / inertial + 0.5 * normal_rise / normal);
  const double sum = inertial + bed->inertial_number;
  const double resistance_rise = normal_rise * shear->resistance_pa / normal +
                                 normal * bed->friction_rise * bed->inertial_number / (sum * sum);
  if (!shaken)
    return (balance){bed->viscosity_pa_s * total + shear->resistance_pa - drive,
                     bed->viscosity_pa_s * total_rise + resistance_rise};
  double rise;
  const double stress = shaken_stress(bed, shear, total_rise, resistance_rise, &rise);
  return (balance){stress * stress - drive * drive, 2.0 * stress * rise};
}

/* Where a search begins, and more than any flow reaches. */
static const double usual_inertial = 0.3, fastest_inertial = 1e12;

/* Newton's method kept inside a bracket; the stress rises with the inertial number.  Written here
 * because this root is taken thousands of times for one deck: GSL's solvers cost an
 * allocation and several times the steps. */
static fg_status flowing(const bed_load *load, double guess, fg_shear *shear) {
  double low = 0.0, high = HUGE_VAL, x = guess;
  for (int step = 0; step < 200; ++step) {
    const balance b = balance_at(load, x, shear);
    if (b.excess > 0.0)
      high = x;
    else
      low = x;
    double next = b.slope > 0.0 ? x - b.excess / b.slope : high;
    /* The error left is of the order of this step squared. */
    if (fabs(next - x) <= 1e-7 * x) {
      flow(load, next, shear);
      return FG_OK;
    }
    if (!(next > low && next < high))
      next = isfinite(high) ? 0.5 * (low + high) : 4.0 * x;
    if (!(next < fastest_inertial))
      return FG_ENOROOT;
    x = next;
  }
  return FG_ENOROOT;
}

/* Grains that the air carries wholly, however loose: the viscosity alone holds them. */
static fg_status floating(const bed_load *load, fg_shear *shear) {
  const fg_bed *bed = load->bed;
  if (!(bed->viscosity_pa_s > 0.0))
    return FG_ENOROOT;
  shear->rate_1_s = load->along / bed->viscosity_pa_s;
  shear->total_1_s = sqrt(shear->rate_1_s * shear->rate_1_s + mean_square(bed));
  return FG_OK;
}

/* A bed that nothing moves down the slope; the shake may stir it. */
static void rest(const bed_load *load, fg_shear *shear) {
  const double shake = sqrt(mean_square(load->bed));
  if (shake > 0.0 && shear->normal_pa > 0.0)
    stand(load, shake / (load->unit_rate * sqrt(shear->normal_pa)), shear);
  shear->rate_1_s = 0.0;
  shear->total_1_s = shake;
}

/* guess: an inertial number to begin with; 0: none. */
static fg_status shear_under(const bed_load *load, double guess, fg_shear *shear) {
  const bool shaken = load->bed->shake_1_s > 0.0;
  stand(load, 0.0, shear);
  if (shaken ? !(load->along > 0.0) : load->along <= shear->resistance_pa) {
    rest(load, shear);
    return FG_OK;
  }
  if (shear->normal_pa <= 0.0) {
    stand(load, fastest_inertial, shear);
    if (shear->normal_pa <= 0.0)
      return floating(load, shear);
  }
  return flowing(load, guess > 0.0 && guess < fastest_inertial ? guess : usual_inertial, shear);
}

/* Under 1 Pa. */
static bed_load unit_load(const fg_bed *bed) {
  return (bed_load){bed, cos(bed->slope_rad), sin(bed->slope_rad),
                    bed->bulk_kg_m3 / bed->grain_kg_m3,
                    1.0 / (bed->grain_m * sqrt(bed->grain_kg_m3))};
}

static bed_load load_under(const bed_load *unit, double settled_m) {
  const double weight = unit->bed->bulk_kg_m3 * FG_GRAVITY * settled_m;
  bed_load load = *unit;
  load.across *= weight;
  load.along *= weight;
  return load;
}

fg_status fg_bed_shear(const fg_bed *bed, double settled_m, double y_m, double guess,
                       fg_shear *shear) {
  if (!(settled_m > 0.0 && y_m >= 0.0 && y_m <= settled_m))
    return FG_EDOMAIN;
  const bed_load unit = unit_load(bed), load = load_under(&unit, settled_m - y_m);
  fg_shear here = {0};
  const fg_status status = shear_under(&load, guess, &here);
  if (status == FG_OK)
    *shear = here;
  return status;
}

/* How much faster the speed grows over the settled height than over the true one. */
static double stretch(const fg_bed *bed, const fg_shear *shear) {
  return bed->bulk_kg_m3 / (bed->grain_kg_m3 * shear->packing);
}

/* Gauss points: enough for the smooth profiles of a flowing layer, since the depth is counted
 * from the surface as the square of what they divide. */
enum { CAPACITY_POINTS = 6, CELL_POINTS = 2 };

fg_status fg_bed_capacity(const fg_bed *bed, double settled_m, double *kg_s_m) {
  gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(CAPACITY_POINTS);
  if (!table)
    return FG_EMEMORY;
  const bed_load unit = unit_load(bed);
  double sum = 0.0;
  fg_status status = FG_OK;
  fg_shear shear = {0};
  for (size_t i = 0; i < CAPACITY_POINTS && status == FG_OK; ++i) {
    double root = 0.0, weight = 0.0;
    gsl_integration_glfixed_point(0.0, 1.0, i, &root, &weight, table);
    const bed_load load = load_under(&unit, settled_m * root * root);
    status = shear_under(&load, shear.inertial, &shear);
    sum += weight * 2.0 * root * root * root * stretch(bed, &shear) * shear.rate_1_s;
  }
  gsl_integration_glfixed_table_free(table);
  if (status == FG_OK)
    *kg_s_m = bed->bulk_kg_m3 * settled_m * settled_m * sum;
  return status;
}

double fg_heap_depth(const fg_bed *bed, double rate_1_s, double per_width, fg_shear *middle) {
  const double rest = bed->bulk_kg_m3 / bed->grain_kg_m3;
  const bed_load unit = unit_load(bed);
  double packing = rest, settled = 0.0;
  /* The depth hardly hangs on the packing, nor that on the depth. */
  for (int step = 0; step < 12; ++step) {
    settled = sqrt(2.0 * per_width * packing / (rest * bed->bulk_kg_m3 * rate_1_s));
    const bed_load load = load_under(&unit, 0.5 * settled);
    const fg_lift *lift = &bed->lift;
    const double normal = load.across * (1.0 - fg_lift_share(lift, packing)) + bed->cohesion_pa;
    if (!(normal > 0.0)) {
      stand(&load, fastest_inertial, middle);
    } else {
      stand(&load, rate_1_s / (load.unit_rate * sqrt(normal)), middle);
    }
    packing = middle->packing;
  }
  middle->rate_1_s = middle->total_1_s = rate_1_s;
  return settled;
}

fg_status fg_bed_profile(const fg_bed *bed, double settled_m, size_t cells, double *speed_m_s) {
  const double half_gap = 0.5 / sqrt(3.0), width = settled_m / (double)cells;
  const bed_load unit = unit_load(bed);
  double below = 0.0;
  fg_shear shear = {0};
  for (size_t j = 0; j < cells; ++j) {
    double mean = below, rise = 0.0;
    for (int p = 0; p < CELL_POINTS; ++p) {
      const double at = p == 0 ? 0.5 - half_gap : 0.5 + half_gap;
      const bed_load load = load_under(&unit, settled_m - ((double)j + at) * width);
      const fg_status status = shear_under(&load, shear.inertial, &shear);
      if (status != FG_OK)
        return status;
      const double here = 0.5 * width * stretch(bed, &shear) * shear.rate_1_s;
      mean += here * (1.0 - at);
      rise += here;
    }
    speed_m_s[j] = mean;
    below += rise;
  }
  return FG_OK;
}
