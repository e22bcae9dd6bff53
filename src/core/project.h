/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_PROJECT_H
#define FLOURGOLD_PROJECT_H

#include "flourgold/status.h"

/* From degrees to metres and back: the transverse Mercator projection. */

typedef struct fg_ellipsoid {
  double semi_major_m;
  double flattening;
} fg_ellipsoid;

/* WGS 84, the ellipsoid of GPX positions: 6378137 m, 1/298.257223563. */
extern const fg_ellipsoid fg_wgs84;

/* Terms of Krueger's series that are kept. */
enum { FG_TMERC_TERMS = 4 };

typedef struct fg_tmerc {
  double latitude_deg, longitude_deg; /* where x = y = 0 */
  double eccentricity;
  double radius_m; /* scale times rectifying radius */
  double alpha[FG_TMERC_TERMS], beta[FG_TMERC_TERMS];
  double north_m; /* of the origin, over the equator */
} fg_tmerc;

/* Sets up the projection with its origin at the given place (deg; north and east positive) and
 * `scale` on the central meridian.  With scale 1 and the origin amid the ground, lengths within
 * 20 km of it come out too long by less than (20 km / 6356 km)^2 / 2 = 5 parts in a million
 * (1.3 parts within 10 km); the series itself is good to far below 1 mm.
 * FG_EDOMAIN: latitude beyond 90, longitude beyond 180, or an ellipsoid that is none.
 * Karney (2011), Transverse Mercator with an accuracy of a few nanometers, J. Geodesy 85:475,
 * eqs. 7-15, 35 and 36, to the fourth order in the third flattening. */
fg_status fg_tmerc_set(const fg_ellipsoid *ellipsoid, double latitude_deg, double longitude_deg,
                       double scale, fg_tmerc *projection);

/* East (x) and north (y) of the origin, in metres.  FG_EDOMAIN: latitude beyond 90, or more
 * than 60 degrees of longitude from the origin (counted the short way round). */
fg_status fg_tmerc_forward(const fg_tmerc *projection, double latitude_deg, double longitude_deg,
                           double *x_m, double *y_m);

/* Back to degrees, longitude within -180 to 180.  FG_EDOMAIN: not finite or farther than
 * 5000 km from the origin. */
fg_status fg_tmerc_inverse(const fg_tmerc *projection, double x_m, double y_m, double *latitude_deg,
                           double *longitude_deg);

#endif
