/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CLEANUP_H
#define FLOURGOLD_CLEANUP_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/ensemble.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* When to clean the riffles.  While the pockets fill with heavy sand less and less gold stays;
 * a cleaning makes them empty but stops the run.  By renewal-reward (Ross, Introduction to
 * Probability Models, ch. 7: reward of a cycle over its length) the gold of an hour is
 * H(T)/(T + t), H(T) the gold held T after a cleaning that takes t. */

enum { FG_CLEANUP_POINTS = 64 };

/* The best interval of one build-up of gold. */
typedef struct fg_clean_interval {
  double best_s;       /* running time between two cleanings */
  double rate;         /* H(T)/(T + t) there: kept share of the gold fed while running, over
                          all time, stops counted */
  double from_s, to_s; /* intervals that bring 99 % of that or more */
  bool at_end;         /* the longest allowed, not the filling, set it */
} fg_clean_interval;

/* Finds it.  held_s[count]: H at rising after_s; straight to 0 at 0; between them a monotone
 * cubic (Steffen 1990).  Longest interval allowed: after_s[count - 1].  FG_EDOMAIN when count is
 * below 3, cleaning_s is not above 0 or no gold is held. */
fg_status fg_interval_best(const double *after_s, const double *held_s, size_t count,
                           double cleaning_s, fg_clean_interval *interval);

/* The deck at one moment after a cleaning.  In the bands a member that stalls keeps nothing. */
typedef struct fg_cleanup_point {
  double after_s;
  fg_banded kept_now;  /* share kept of what is fed just then */
  fg_banded kept;      /* mean since the cleaning */
  fg_banded fine_kept; /* the same of the fine gold; NaN: there is none */
  fg_banded kept_kg_s; /* gold over all time when the deck is always cleaned then */
  fg_banded fill;      /* mean of all pockets; bands over the members that run */
} fg_cleanup_point;

/* A shift parted into equal batches, the last cleaning included. */
typedef struct fg_shift {
  long batches;
  double interval_s;     /* running time of a batch */
  double gold_kg;        /* of the shift */
  double concentrate_kg; /* of one batch */
} fg_shift;

typedef struct fg_cleanup {
  bool stalled; /* the nominal run; then its figures are NaN */
  double capacity_margin;
  double magnetite; /* share of black sand */
  size_t riffles;
  size_t samples; /* 0: the nominal run alone, bands are NaN */
  unsigned long seed;
  double stall_share;
  double effective; /* members that fit what was observed, by Kish */
  bool weighed;     /* something was observed */
  double cleaning_s, shift_s;
  fg_clean_interval best;
  fg_banded best_s;       /* bands over the members that run */
  double safest_s;        /* most gold over all members together, stalls as nothing */
  fg_banded upper_full_s; /* upper half of the pockets 90 % full; NaN: not within the shift */
  fg_banded best_kg_s;    /* gold over all time at the nominal best interval */
  fg_banded present_kg_s; /* the same at the scenario's interval */
  fg_shift shift;         /* the whole number of batches that brings most */
  double gold_kg_s;       /* fed a second while running */
  fg_cleanup_point point[FG_CLEANUP_POINTS];
  double fill[FG_CLEANUP_POINTS][FG_RIFFLES_MAX]; /* of each pocket, nominal */
} fg_cleanup;

/* Whether a scenario's shift, cleaning time and interval go together; FG_ESCENARIO with a
 * sentence in message[size] that begins with the key. */
fg_status fg_cleanup_check(const fg_scenario *scenario, char *message, size_t size);

/* Works it out for the scenario's shift (run.hours), cleaning time and present interval.
 * samples 0: the nominal run alone.  FG_OK also when the nominal run stalls.  FG_EDOMAIN when
 * the cleaning time is 0 or the shift has no room for a minute's run and one cleaning. */
fg_status fg_cleanup_run(const fg_scenario *scenario, size_t samples, unsigned long seed,
                         fg_cleanup *cleanup);

/* The interval that every command names for these settings: of the gold of all members together
 * (the first 64 that the searches go by, whatever the seed, so that it is the same everywhere; with
 * `exact` the nominal run alone), stops counted, the present interval where that brings all but 1 %
 * of the most, else the best to five minutes.  *advised: best_s is that interval.  FG_EDOMAIN where
 * fg_cleanup_check() finds fault or no gold is held, FG_ESTALL when no member runs. */
fg_status fg_cleanup_advise(const fg_scenario *scenario, bool exact, fg_clean_interval *advised);

/* Gold over all time (kg/s, nominal) when cleaned every `interval_s`, over the most there is;
 * NaN outside the shift or when stalled. */
double fg_cleanup_relative(const fg_cleanup *cleanup, double interval_s);

#endif
