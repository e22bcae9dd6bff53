/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/project.h"

#include <math.h>
#include <stdbool.h>

static const double degree = 3.14159265358979323846 / 180.0;
static const double farthest_deg = 60.0;
static const double farthest_m = 5e6;

const fg_ellipsoid fg_wgs84 = {6378137.0, 1.0 / 298.257223563};

/* Karney's eqs. 35 (alpha) and 36 (beta). */
static void series(double n, fg_tmerc *p) {
  const double n2 = n * n;
  const double n3 = n2 * n;
  const double n4 = n2 * n2;
  p->alpha[0] = n / 2.0 - 2.0 / 3.0 * n2 + 5.0 / 16.0 * n3 + 41.0 / 180.0 * n4;
  p->alpha[1] = 13.0 / 48.0 * n2 - 3.0 / 5.0 * n3 + 557.0 / 1440.0 * n4;
  p->alpha[2] = 61.0 / 240.0 * n3 - 103.0 / 140.0 * n4;
  p->alpha[3] = 49561.0 / 161280.0 * n4;
  p->beta[0] = n / 2.0 - 2.0 / 3.0 * n2 + 37.0 / 96.0 * n3 - 1.0 / 360.0 * n4;
  p->beta[1] = 1.0 / 48.0 * n2 + 1.0 / 15.0 * n3 - 437.0 / 1440.0 * n4;
  p->beta[2] = 17.0 / 480.0 * n3 - 37.0 / 840.0 * n4;
  p->beta[3] = 4397.0 / 161280.0 * n4;
}

/* Tangent of the conformal latitude (eqs. 7 to 9). */
static double conformal(double tau, double e) {
  const double sigma = sinh(e * atanh(e * tau / hypot(1.0, tau)));
  return tau * hypot(1.0, sigma) - sigma * hypot(1.0, tau);
}

/* The other way, by Newton's rule (eqs. 19 to 21); three rounds reach the last digit. */
static double geographic(double tau1, double e) {
  const double e2 = e * e;
  double tau = tau1 / (1.0 - e2);
  for (int i = 0; i < 5; ++i) {
    const double guess = conformal(tau, e);
    tau += (tau1 - guess) / hypot(1.0, guess) * (1.0 + (1.0 - e2) * tau * tau) /
           ((1.0 - e2) * hypot(1.0, tau));
  }
  return tau;
}

/* Adds sign times the sum of the series at xi + i eta to both. */
static void add_series(const double *terms, double sign, double *xi, double *eta) {
  const double xi0 = *xi;
  const double eta0 = *eta;
  for (int j = 0; j < FG_TMERC_TERMS; ++j) {
    const double k = 2.0 * (j + 1.0);
    *xi += sign * terms[j] * sin(k * xi0) * cosh(k * eta0);
    *eta += sign * terms[j] * cos(k * xi0) * sinh(k * eta0);
  }
}

/* East and north of the equator on the central meridian. */
static void over_equator(const fg_tmerc *p, double latitude_deg, double east_deg, double *x_m,
                         double *y_m) {
  const double lambda = east_deg * degree;
  const double tau = conformal(tan(latitude_deg * degree), p->eccentricity);
  double xi = atan2(tau, cos(lambda));
  double eta = asinh(sin(lambda) / hypot(tau, cos(lambda)));
  add_series(p->alpha, 1.0, &xi, &eta);
  *x_m = p->radius_m * eta;
  *y_m = p->radius_m * xi;
}

static bool is_position(double latitude_deg, double longitude_deg) {
  return fabs(latitude_deg) <= 90.0 && fabs(longitude_deg) <= 180.0;
}

fg_status fg_tmerc_set(const fg_ellipsoid *ellipsoid, double latitude_deg, double longitude_deg,
                       double scale, fg_tmerc *projection) {
  const double f = ellipsoid->flattening;
  if (!is_position(latitude_deg, longitude_deg) || !(ellipsoid->semi_major_m > 0.0) ||
      !(f >= 0.0 && f < 0.02) || !(scale > 0.0))
    return FG_EDOMAIN;
  const double n = f / (2.0 - f);
  fg_tmerc p = {.latitude_deg = latitude_deg, .longitude_deg = longitude_deg};
  p.eccentricity = sqrt(f * (2.0 - f));
  p.radius_m =
      scale * ellipsoid->semi_major_m / (1.0 + n) * (1.0 + n * n / 4.0 + n * n * n * n / 64.0);
  series(n, &p);
  double x;
  over_equator(&p, latitude_deg, 0.0, &x, &p.north_m);
  *projection = p;
  return FG_OK;
}

fg_status fg_tmerc_forward(const fg_tmerc *projection, double latitude_deg, double longitude_deg,
                           double *x_m, double *y_m) {
  if (!is_position(latitude_deg, longitude_deg))
    return FG_EDOMAIN;
  const double east = remainder(longitude_deg - projection->longitude_deg, 360.0);
  if (fabs(east) > farthest_deg)
    return FG_EDOMAIN;
  over_equator(projection, latitude_deg, east, x_m, y_m);
  *y_m -= projection->north_m;
  return FG_OK;
}

fg_status fg_tmerc_inverse(const fg_tmerc *projection, double x_m, double y_m, double *latitude_deg,
                           double *longitude_deg) {
  if (!(hypot(x_m, y_m) <= farthest_m))
    return FG_EDOMAIN;
  double xi = (y_m + projection->north_m) / projection->radius_m;
  double eta = x_m / projection->radius_m;
  add_series(projection->beta, -1.0, &xi, &eta);
  const double tau = geographic(sin(xi) / hypot(sinh(eta), cos(xi)), projection->eccentricity);
  const double east = atan2(sinh(eta), cos(xi)) / degree;
  *latitude_deg = atan(tau) / degree;
  *longitude_deg = remainder(projection->longitude_deg + east, 360.0);
  return FG_OK;
}
