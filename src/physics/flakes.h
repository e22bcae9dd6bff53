/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_FLAKES_H
#define FLOURGOLD_FLAKES_H

/* From grams of gold of a size class to its grains and back: flakes are discs of one shape, and
 * their mass is spread over the sizes inside a class. */

typedef struct fg_flakes {
  double kg_m3; /* mass of a flake over the cube of its size */
  /* The log-normal by mass that the classes were cut from.  spread 0: none is known, and the
   * mass of a class is even over the logarithm of size, as a gradation curve is drawn. */
  double median_m, spread;
} fg_flakes;

/* What lies between two sizes. */
typedef struct fg_flake_part {
  double share;      /* of the class, by mass */
  double grain_kg;   /* mean mass of a grain: mass over number */
  double telling_kg; /* mean mass, each grain weighed by its mass */
} fg_flake_part;

/* The part of the class from lower_m to upper_m (0 < lower < upper, m) that lies from low_m to
 * high_m (INFINITY allowed): exact integrals of size^-3 and size^3 over the class (for the
 * log-normal as Hatch & Choate, J. Franklin Inst. 207:369, 1929, cut off at both ends).
 * The spread within the class alone counts: what a class holds is the caller's, so that an
 * end class may stand for the tail beyond it, taken to be of the class's own sizes.  Where the
 * log-normal has next to nothing (1e-250) the mass is even as above.  Nothing there: share
 * 0, masses NaN.  Good to 1e-9 for sizes that differ by a millionth or more. */
fg_flake_part fg_flakes_between(const fg_flakes *flakes, double lower_m, double upper_m,
                                double low_m, double high_m);

#endif
