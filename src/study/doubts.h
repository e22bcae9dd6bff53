/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DOUBTS_H
#define FLOURGOLD_DOUBTS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/ensemble.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "study/totals.h"
#include "study/worth.h"

/* Which inputs the doubt about the kept gold comes from. */

enum {
  FG_DOUBTS_SAMPLES = 1024,
  FG_DOUBTS_SAMPLES_LEAST = 256,
  FG_DOUBTS_NARROWED = 6, /* inputs for which the runs are made again */
  FG_DOUBTS_TOTALS = 12,  /* inputs whose total effects are told */
  FG_DOUBTS_ROWS = 256    /* pairs of runs behind each, but no more than a quarter of the samples */
};

/* What is left of an input's range once it is measured. */
extern const double fg_measured_share;

/* One input and what it does, by shares of variance over the members that run. */
typedef struct fg_doubted_input {
  int row;              /* of the settings table */
  double share;         /* of the variance of the kept share of all gold */
  double fine_share;    /* of the fine gold; NaN: there is none */
  fg_totals total;      /* alone and together with others, by share of the same variances */
  bool told, fine_told; /* more than chance */
  bool measurable;      /* anybody can; else only a tracer test narrows it */
  bool narrowed;        /* the bands below are known */
  double low, high;     /* the input's own 80 % range, SI; NaN of a choice of laws */
  fg_band kept, fine;   /* with the input known better */
} fg_doubted_input;

typedef struct fg_doubts {
  bool stalled; /* the nominal run */
  double capacity_margin;
  double kept, fine_kept; /* nominal */
  fg_band kept_band, fine_band;
  size_t samples, bins, running;
  unsigned long seed;
  double stall_share, effective;
  bool weighed;
  bool enough; /* members run enough to tell shares */
  double noise_floor, fine_noise_floor;
  size_t inputs; /* in doubt */
  size_t count;  /* told, largest share first */
  fg_doubted_input input[FG_SETTINGS_MAX];
  size_t worths; /* measurements that would help, most valuable first, whether told or not */
  fg_worth worth[FG_WORTHS_MAX];
  size_t total_rows;     /* pairs of runs behind each total effect; 0: none are told */
  fg_totals others;      /* of all inputs together whose own is not told */
  size_t narrow_samples; /* runs behind each narrowed band, and behind these: */
  fg_band before, fine_before;
  size_t together; /* inputs that were narrowed, and all of them at once: */
  fg_band together_kept, together_fine;
} fg_doubts;

/* Draws an ensemble and estimates first-order indices of Sobol from it: outputs sorted by one
 * input, variance of bin means over all variance, chance taken off (Plischke et al., Eur. J.
 * Oper. Res. 226:536, 2013).  Told are those
 * that outputs shuffled against the inputs would reach too seldom: by the false discovery rate of
 * Benjamini & Hochberg (1995) over all inputs and both outputs, 5 %; the noise floor is the
 * smallest share told.  Total effects (study/totals.h) follow for the FG_DOUBTS_TOTALS
 * largest of these, FG_DOUBTS_ROWS pairs of runs each, and for all other inputs at once: what acts
 * only together with others shows there.  The measurements that help most (study/worth.h) are
 * tried: a smaller ensemble is drawn again with that input's range cut to fg_measured_share.
 * FG_EDOMAIN below FG_DOUBTS_SAMPLES_LEAST samples; other failures as fg_ensemble_run(). */
fg_status fg_doubts_run(const fg_scenario *scenario, size_t samples, unsigned long seed,
                        fg_doubts *doubts);

/* The same without total effects and without trying any measurement: which come first, and why. */
fg_status fg_doubts_rank(const fg_scenario *scenario, size_t samples, unsigned long seed,
                         fg_doubts *doubts);

/* The named input that a measurement settles, or NULL. */
const fg_doubted_input *fg_doubts_input(const fg_doubts *doubts, const fg_worth *worth);

#endif
