/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAMPLING_H
#define FLOURGOLD_SAMPLING_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "input/counts_csv.h"
#include "physics/flakes.h"
#include "stats/counts.h"

/* From gold in the ground to colours in a bucket, and back.  The share of each size that the
 * deck keeps is the model's; what counts say about a mean is counting statistics. */

/* One size class of gold in one bucket. */
typedef struct fg_sample_class {
  double lower_m, upper_m;
  double share;      /* of the gold in the ground, by mass */
  double grain_kg;   /* mean of its grains: mass over number */
  double telling_kg; /* the same, each grain weighed by its mass */
  double recovery;   /* share found: passes the screen and is kept; 1 when panned whole */
  double per_gold;   /* grains found for each kg of gold in the bucket */
} fg_sample_class;

typedef struct fg_sample_basis {
  size_t count;
  fg_sample_class *classes;
  fg_flakes flakes;   /* how mass is spread inside a class */
  double in_place_m3; /* ground that one bucket was */
  double bucket_kg;   /* gravel in it */
  double found_share; /* of the gold's mass */
  /* Running the deck on such ground: NaN where it stalls. */
  double gold_share_running; /* mass share the deck keeps of all gold */
  double ground_m3_s;        /* in place */
  double day_s;              /* of running, cleaning stops taken off */
} fg_sample_basis;

/* FG_ESTALL when the deck stalls and its catch is to be counted; else as fg_loss_run().  Free
 * with fg_sample_basis_free(). */
fg_status fg_sample_basis_new(const fg_scenario *scenario, fg_sample_basis *basis);
void fg_sample_basis_free(fg_sample_basis *basis);

/* The gold's flakes: discs of the scenario's thickness ratio and density, by its log-normal
 * or, where classes are given, even inside each over the logarithm of size. */
fg_flakes fg_sample_flakes(const fg_scenario *scenario);

/* Mean mass (kg) of a colour of the scenario's gold between two sieves (upper may be INFINITY);
 * where its sizes hold none there, of one even over the logarithm of size (upper INFINITY: of the
 * least). */
double fg_sample_colour_kg(const fg_scenario *scenario, double lower_m, double upper_m);

/* Colours between two sieves (upper may be INFINITY) found in one bucket of ground with
 * `grade` (kg/m3 in place), by the integral over the sizes inside each class. */
double fg_sample_colours(const fg_sample_basis *basis, double grade, double lower_m,
                         double upper_m);

/* The same for what is counted: the columns by mesh of `counts`, or, where it has none or is
 * NULL, all that is coarser than sample.visible_size. */
double fg_sample_counted(const fg_scenario *scenario, const fg_sample_basis *basis,
                         const fg_counts *counts, double grade);

/* Gold between two sieves, as a share of all gold in the ground. */
double fg_sample_gold_share(const fg_sample_basis *basis, double lower_m, double upper_m);

/* How many buckets it takes. */
typedef struct fg_sample_plan {
  double per_bucket;     /* colours coarser than visible_size, at gold.grade */
  double all_per_bucket; /* grains of every size */
  double to_count;       /* buckets, whole, for sample.grains colours; NaN: none are expected */
  double to_weigh;       /* for as many grains that carry the weight (Kish's count) */
  double buckets;        /* the larger of the two */
  double kg;             /* gravel in them */
  double colours;        /* expected in them */
  double count_error;    /* relative half width at sample.confidence from that count: model-free */
  double mass_error;     /* the same of the weight of all gold found, by its grains */
  double gy_error;       /* the same by Gy's formula for all gold in the ground */
} fg_sample_plan;
fg_status fg_sample_plan_make(const fg_scenario *scenario, const fg_sample_basis *basis,
                              fg_sample_plan *plan);

/* What the model leaves open: grade behind a counted colour a bucket, over its nominal value, in
 * many draws of every doubtful setting, by weight where something was observed on the machine.
 * Sorted. */
typedef struct fg_sample_doubt {
  double *factor;
  size_t count, drawn; /* draws that run, all draws */
  double low, high;    /* at the tails of sample.confidence */
  fg_band band;
  /* Gold the deck keeps in an hour behind a counted colour, likewise; NaN: it stalls. */
  double kept_low, kept_high;
} fg_sample_doubt;
enum { FG_SAMPLE_DRAWS = 128 };
/* FG_EDOMAIN when no colours of the counted sizes can be expected at any grade. */
fg_status fg_sample_doubt_new(const fg_scenario *scenario, const fg_sample_basis *basis,
                              const fg_counts *counts, unsigned long seed, fg_sample_doubt *doubt);
void fg_sample_doubt_free(fg_sample_doubt *doubt);

typedef enum fg_decision { FG_GO_ON = 0, FG_LEAVE, FG_STAY } fg_decision;

typedef struct fg_station {
  const char *name;
  size_t buckets;
  double exposure; /* standard buckets */
  fg_scatter scatter;
  fg_interval rate; /* limits of colours a standard bucket; the middle is scatter.mean */
  /* Grades and their limits at sample.confidence, kg/m3 in place. */
  fg_band grade;          /* from the count; limits of counting alone */
  fg_band doubted;        /* the same with the model's doubt */
  fg_band kept;           /* gold the deck keeps of it, kg/s, all doubt; NaN: stalls */
  fg_band weighed;        /* from the gold weighed; NaN: none was */
  fg_band by_size;        /* from the colours by mesh; NaN: not counted so */
  double sizes_chance;    /* that sizes as assumed look so different by chance; NaN: too few */
  fg_gamma posterior;     /* of colours a standard bucket */
  double chance_pays;     /* that the grade is above the threshold, all doubt counted */
  double chance_by_count; /* the same with the model taken as true */
  double chance_richest;
  fg_decision decision; /* as you go (study/leave_or_stay.h) */
  size_t decided_after; /* buckets */
} fg_station;

typedef struct fg_sample_result {
  size_t count;
  fg_station *stations; /* in the order of the file */
  double *beats;        /* [count][count]: chance that row is richer than column */
  size_t richest;       /* largest chance_richest */
} fg_sample_result;

/* Works the counts out.  Free with fg_sample_result_free().  The names belong to `counts`.
 * FG_EDOMAIN when no colours of the counted sizes can be expected at any grade. */
fg_status fg_sample_judge(const fg_scenario *scenario, const fg_sample_basis *basis,
                          const fg_sample_doubt *doubt, const fg_counts *counts,
                          fg_sample_result *result);
void fg_sample_result_free(fg_sample_result *result);

#endif
