/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/bed.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <math.h>

#include "flourgold/air.h"
#include "physics/flow.h"

/* Rate at which the friction is half way up its rise. */
static double half_rate(const fg_bed *bed, double normal) {
  return bed->inertial_number * sqrt(normal / bed->grain_kg_m3) / bed->grain_m;
}

static double resistance_at(const fg_bed *bed, double normal, double half, double total) {
  const double sum = total + half, risen = sum > 0.0 ? total / sum : 0.0;
  return normal * (bed->friction_static + bed->friction_rise * risen);
}

double fg_bed_resistance(const fg_bed *bed, double normal_pa, double total_1_s) {
  return resistance_at(bed, normal_pa, half_rate(bed, normal_pa), total_1_s);
}

double fg_bed_viscosity(const fg_bed *bed, double normal_pa, double total_1_s) {
  const double resistance = fg_bed_resistance(bed, normal_pa, total_1_s);
  if (!(total_1_s > 0.0))
    return resistance > 0.0 ? HUGE_VAL : bed->viscosity_pa_s;
  return bed->viscosity_pa_s + resistance / total_1_s;
}

/* Without shaking the balance is a quadratic in the rate, and a bed below its yield stress
 * rests. */
static fg_status still_rate(const fg_bed *bed, double shear_stress, double normal, double *rate) {
  const double spare = shear_stress - bed->friction_static * normal;
  if (spare <= 0.0) {
    *rate = 0.0;
    return FG_OK;
  }
  const double half = half_rate(bed, normal), eta = bed->viscosity_pa_s;
  const double b = eta * half + bed->friction_rise * normal - spare, c = spare * half;
  if (eta == 0.0) {
    if (b <= 0.0)
      return FG_ENOROOT;
    *rate = c / b;
    return FG_OK;
  }
  const double root = sqrt(b * b + 4.0 * eta * c);
  *rate = b > 0.0 ? 2.0 * c / (b + root) : (root - b) / (2.0 * eta);
  return FG_OK;
}

typedef struct balance {
  double excess; /* resisting minus driving stress */
  double slope;  /* its derivative by the rate */
} balance;

static balance shaken_balance(const fg_bed *bed, double shear_stress, double normal, double half,
                              double rate) {
  const double shake = bed->shake_1_s, total = sqrt(rate * rate + shake * shake);
  const double sum = total + half, resistance = resistance_at(bed, normal, half, total);
  const double rise = normal * bed->friction_rise * half / (sum * sum);
  balance b;
  b.excess = (bed->viscosity_pa_s + resistance / total) * rate - shear_stress;
  b.slope = bed->viscosity_pa_s + rise * (rate * rate) / (total * total) +
            resistance * shake * shake / (total * total * total);
  return b;
}

/* Newton's method kept inside a bracket; the balance rises with the rate.  Written here
 * because this root is taken thousands of times for one deck: GSL's solvers cost an
 * allocation and four times the steps. */
static fg_status shaken_rate(const fg_bed *bed, double shear_stress, double normal, double *rate) {
  double low = 0.0, high = HUGE_VAL;
  const double shake = bed->shake_1_s, half = half_rate(bed, normal);
  double x = shear_stress / (bed->viscosity_pa_s + resistance_at(bed, normal, half, shake) / shake);
  for (int step = 0; step < 200; ++step) {
    const balance b = shaken_balance(bed, shear_stress, normal, half, x);
    if (b.excess > 0.0)
      high = x;
    else
      low = x;
    double next = x - b.excess / b.slope;
    /* The error left is of the order of this step squared. */
    if (fabs(next - x) <= 1e-8 * x) {
      *rate = next;
      return FG_OK;
    }
    if (!(next > low && next < high))
      next = isfinite(high) ? 0.5 * (low + high) : 2.0 * x;
    if (!isfinite(next) || next > 1e9)
      return FG_ENOROOT;
    x = next;
  }
  return FG_ENOROOT;
}

fg_status fg_bed_shear(const fg_bed *bed, double depth_m, double z_m, fg_shear *shear) {
  if (!(depth_m > 0.0 && z_m >= 0.0 && z_m <= depth_m))
    return FG_EDOMAIN;
  const double above = bed->bulk_kg_m3 * FG_GRAVITY * (depth_m - z_m);
  const double stress = above * sin(bed->slope_rad);
  fg_shear here = {0};
  here.normal_pa = above * cos(bed->slope_rad) * (1.0 - bed->support) + bed->cohesion_pa;
  const fg_status status = bed->shake_1_s > 0.0 && stress > 0.0
                               ? shaken_rate(bed, stress, here.normal_pa, &here.rate_1_s)
                               : still_rate(bed, stress, here.normal_pa, &here.rate_1_s);
  if (status != FG_OK)
    return status;
  here.total_1_s = hypot(here.rate_1_s, bed->shake_1_s);
  here.resistance_pa = fg_bed_resistance(bed, here.normal_pa, here.total_1_s);
  *shear = here;
  return FG_OK;
}

/* Gauss points on 0-1: exact enough for the smooth profiles of a flowing layer. */
enum { CAPACITY_POINTS = 12, CELL_POINTS = 2 };

fg_status fg_bed_capacity(const fg_bed *bed, double depth_m, double *kg_s_m) {
  gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(CAPACITY_POINTS);
  if (!table)
    return FG_EMEMORY;
  double sum = 0.0;
  fg_status status = FG_OK;
  for (size_t i = 0; i < CAPACITY_POINTS && status == FG_OK; ++i) {
    double z = 0.0, weight = 0.0;
    gsl_integration_glfixed_point(0.0, depth_m, i, &z, &weight, table);
    fg_shear shear = {0};
    status = fg_bed_shear(bed, depth_m, z, &shear);
    sum += weight * shear.rate_1_s * (depth_m - z);
  }
  gsl_integration_glfixed_table_free(table);
  if (status == FG_OK)
    *kg_s_m = bed->bulk_kg_m3 * sum;
  return status;
}

fg_status fg_bed_profile(const fg_bed *bed, double depth_m, size_t cells, double *speed_m_s) {
  const double half_gap = 0.5 / sqrt(3.0), width = depth_m / (double)cells;
  double below = 0.0;
  for (size_t j = 0; j < cells; ++j) {
    double mean = below, rise = 0.0;
    for (int p = 0; p < CELL_POINTS; ++p) {
      const double at = p == 0 ? 0.5 - half_gap : 0.5 + half_gap;
      fg_shear shear;
      const fg_status status = fg_bed_shear(bed, depth_m, ((double)j + at) * width, &shear);
      if (status != FG_OK)
        return status;
      mean += 0.5 * width * shear.rate_1_s * (1.0 - at);
      rise += 0.5 * width * shear.rate_1_s;
    }
    speed_m_s[j] = mean;
    below += rise;
  }
  return FG_OK;
}
