/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SIEVE_H
#define FLOURGOLD_SIEVE_H

#include <stddef.h>

#include "flourgold/status.h"

/* One test sieve of ASTM E11 (the same apertures as ISO 3310-1). */
typedef struct fg_sieve {
  const char *name;  /* "5 in", "No. 60" */
  double mesh;       /* the number of a numbered sieve (3.5 to 635); 0 for those named in inches */
  double aperture_m; /* nominal square opening */
} fg_sieve;

/* All sieves, coarse to fine, 5 in to No. 635. */
extern const fg_sieve fg_sieves[];
extern const size_t fg_sieves_count;

/* Aperture in m of the sieve with that mesh number.  FG_EDOMAIN when ASTM E11 has no
 * such number. */
fg_status fg_sieve_aperture(int mesh, double *aperture_m);

/* Whole mesh number (4 to 635) whose aperture is nearest, by ratio, to `aperture_m`;
 * 0 when none lies within 14 % (half the widest step of the numbered series), or
 * the value is not a positive number. */
int fg_sieve_nearest(double aperture_m);

/* Mesh number of an opening by logarithmic interpolation between the numbered sieves, 4 to 635; NaN
 * outside them. */
double fg_sieve_mesh(double aperture_m);

#endif
