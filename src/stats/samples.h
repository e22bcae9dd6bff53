/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAMPLES_H
#define FLOURGOLD_SAMPLES_H

#include <stddef.h>

#include "flourgold/status.h"

/* A table of `rows` points in the unit cube of `columns` dimensions, row after row, strictly
 * inside (0, 1); the same for the same seed.  The first FG_SOBOL_COLUMNS columns are Sobol's
 * sequence (GSL) with a random shift modulo 1 (Cranley & Patterson, SIAM J. Numer. Anal. 13:904,
 * 1976); later ones, where Sobol's columns correlate at few points and GSL's end at 40, are
 * Latin hypercube columns (McKay et al., Technometrics 21:239, 1979) by GSL's mt19937.
 * table: rows x columns, the caller's.  FG_EDOMAIN on 0 rows or columns. */
enum { FG_SOBOL_COLUMNS = 8 };
fg_status fg_sample_table(size_t rows, size_t columns, unsigned long seed, double *table);

/* First-order indices of Sobol from a sample of inputs and outputs already at hand, by the
 * correlation-ratio estimate: outputs sorted by an input and averaged in `bins` equal bins,
 * variance of the means over variance of all, less the share chance gives.  Source: Plischke et
 * al., Eur. J. Oper. Res. 226:536, 2013.  indices[columns]; `table` as above. */
fg_status fg_first_order_given_data(const double *table, const double *output, size_t rows,
                                    size_t columns, size_t bins, double *indices);

/* The same with a weight for each row (NULL: equal); rows whose output is NaN are passed over.
 * Bins hold equal weight, and Kish's effective size stands for the count of rows. */
fg_status fg_first_order_weighted(const double *table, const double *output, const double *weights,
                                  size_t rows, size_t columns, size_t bins, double *indices);

/* Outputs of a sample, and of the same rows with one input (or a group of them) drawn anew. */
typedef struct fg_redrawn {
  const double *output, *redrawn;          /* [rows]; NaN: no answer, and the pair is passed over */
  const double *weights, *redrawn_weights; /* [rows]; NULL: equal */
  size_t rows;
} fg_redrawn;

/* Total effect of what was drawn anew: the share of the variance that would be left with all else
 * known, by Jansen's estimator (Comput. Phys. Commun. 117:35, 1999; (f) in table 2 of Saltelli et
 * al., Comput. Phys. Commun. 181:259, 2010), half the mean square of the gaps over the variance,
 * that of both halves of the pairs.  error: one standard deviation, of a ratio of means, from the
 * scatter of the pairs (for independent rows; a low-discrepancy sample does better).  A pair weighs
 * the harmonic mean of its two rows' weights, which is exact where weights do not depend on what
 * was drawn anew.  FG_EDOMAIN below FG_PAIRS_LEAST pairs or without variance. */
enum { FG_PAIRS_LEAST = 32 };
fg_status fg_total_effect(const fg_redrawn *pairs, double *total, double *error);

#endif
