/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAMPLING_INTERNAL_H
#define FLOURGOLD_SAMPLING_INTERNAL_H

#include "study/sampling.h"

/* One class as it is counted: its share of the gold, and how much of it is found. */
fg_sample_class fg_sample_class_of(const fg_flakes *flakes, double lower_m, double upper_m,
                                   double share, double recovery);

/* Mean mass of the grains found, each weighed by its mass (kg): the weight of all gold found
 * scatters as a count of grains of this mass.  NaN when nothing is found. */
double fg_sample_telling_grain(const fg_sample_basis *basis);

/* The stations' chances against one another and, with the model's doubt, against the
 * threshold (compare.c). */
fg_status fg_sample_compare(fg_sample_result *result);

#endif
