/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_STREAKS_H
#define FLOURGOLD_STREAKS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/status.h"
#include "input/readings.h"
#include "stats/kriging.h"
#include "stats/regression.h"
#include "stats/variogram.h"

/* From readings to ranked flags, places for the next readings, and a map. */

enum {
  FG_STREAKS_CANDIDATES = 7, /* models tried: one alone, three kinds with and without direction */
  FG_STREAKS_NEXT = 5,
  FG_STREAKS_FIT_LEAST = 12,  /* places from which on a variogram is fitted */
  FG_STREAKS_ALL_UP_TO = 64,  /* with no more places than this, all make each estimate ... */
  FG_STREAKS_NEIGHBOURS = 32, /* ... else so many nearest ones, unless asked otherwise */
  FG_STREAKS_PANS_LEAST = 5   /* pans from which on a word on the gold is dared */
};

/* Kept from old workings: no flag nearer is called safe, no next place is put there. */
#define FG_WORKINGS_CLEARANCE_M 15.0

typedef struct fg_streaks_options {
  bool variogram_given;
  fg_variogram variogram;
  double direction_rad; /* of the wash, clockwise from north; NaN: to be found */
  double cut;           /* the reading that is worth digging; NaN: the upper quartile */
  double power;         /* of the inverse distance, above 0 */
  size_t neighbours;    /* 0: as above */
  bool rank_by_chance;  /* else by estimate */
} fg_streaks_options;

/* With fewer places the nugget is assumed to be this share of the sill. */
#define FG_STREAKS_NUGGET 0.25
/* Places count as alike near each other when chance makes them look so at most this often. */
#define FG_STREAKS_CHANCE 0.05

typedef struct fg_streaks_candidate {
  fg_variogram variogram;
  double evidence; /* see fg_variogram_fit() */
  bool fitted;
  bool chosen;
} fg_streaks_candidate;

/* What a fresh reading at a place will be, on the readings' scale. */
typedef struct fg_foretold {
  double estimate;  /* its mean */
  double sd;        /* standard deviation about that */
  double low, high; /* one in ten lies below, one in ten above */
  double chance;    /* of beating the cut */
  double gain;      /* worth of knowing it before digging, see fg_worth_of_knowing() */
} fg_foretold;

typedef struct fg_flag {
  size_t reading;                /* index in the readings */
  double value;                  /* that reading */
  fg_foretold there;             /* in the first six inches there */
  double inverse_distance;       /* from the other readings */
  double pan, pan_low, pan_high; /* foretold from the reading, 95 %, never below
                                     0; NaN: not */
  size_t rank, chance_rank;      /* from 1; 0: none, the place is to be kept off */
  bool near_workings;            /* within FG_WORKINGS_CLEARANCE_M */
} fg_flag;

typedef struct fg_next_place {
  double x_m, y_m;
  double latitude_deg, longitude_deg;
  fg_foretold there;
} fg_next_place;

typedef enum fg_wash_source {
  FG_WASH_UNKNOWN = 0,
  FG_WASH_GIVEN,
  FG_WASH_VARIOGRAM, /* the direction in which readings stay alike farthest */
  FG_WASH_SHAPE      /* the long axis of the places */
} fg_wash_source;

/* The estimate over the ground, row by row from the south-west; NaN where no reading is near. */
typedef struct fg_streaks_map {
  double x0_m, y0_m, cell_m; /* south-west corner of the first cell, and the cells' side */
  size_t columns, rows;
  double *estimate;
} fg_streaks_map;

typedef struct fg_streaks {
  fg_variogram variogram; /* of the readings in `scale` */
  fg_value_scale scale;
  double freedom;   /* of the sill: what is foretold has Student's distribution with it */
  double chance;    /* see fg_variogram_chance(); NaN: not asked */
  double explained; /* share of the readings' variance that the others foretell, 0 to 1 */
  fg_streaks_candidate candidates[FG_STREAKS_CANDIDATES];
  size_t candidate_count;
  size_t neighbours;
  double jitter; /* see fg_kriging_jitter() */
  fg_cross cross;
  double beat_expected; /* of the data left out in turn: sum of the chances to beat the cut */
  double beat_scatter;  /* standard deviation of that sum */
  size_t beat_seen;     /* and how many did */
  double cut;
  double wash_rad; /* NaN when unknown */
  fg_flag *flags;  /* in the order of their rank, those without one last */
  size_t flag_count;
  fg_next_place next[FG_STREAKS_NEXT]; /* none with a model of nugget alone */
  size_t next_count;
  fg_streaks_map map;
  size_t pan_count;
  fg_line line; /* pan count against reading */
  fg_wash_source wash_source;
  bool given;     /* the variogram was set by hand */
  bool assumed;   /* too few places to fit one */
  bool crossed;   /* cross is filled */
  bool collinear; /* all places on one line */
  bool cut_assumed;
  bool pan_fitted;   /* line is filled */
  bool pan_predicts; /* slope above 0 and unlikely to be chance */
} fg_streaks;

/* Works all of it out.  Skewed readings are kriged by their logarithms.  From 12 places on, and
 * only when they are more alike near each other than chance makes them, the model is the one of the
 * largest evidence, a simpler one winning ties; otherwise it is a nugget alone.
 * FG_EDOMAIN: fewer than 3 places, or all readings alike (nothing to rank, nor a variogram to fit);
 * FG_ENOROOT: a kriging system cannot be solved with the model given; FG_EMEMORY.  Free with
 * fg_streaks_free() after FG_OK. */
fg_status fg_streaks_run(const fg_readings *readings, const fg_streaks_options *options,
                         fg_streaks *streaks);
void fg_streaks_free(fg_streaks *streaks);

/* A kriging of the readings with the model in use; free with fg_kriging_free(). */
fg_status fg_streaks_kriging(const fg_readings *readings, const fg_streaks *streaks,
                             fg_kriging **kriging);

/* From an estimate in streaks->scale to what a fresh reading will be.  With the sill from the same
 * readings its distribution is Student's (Kitanidis 1986, Water Resources Research 22:499); mean,
 * deviation and gain go by the normal one.  streaks: cut, scale and freedom. */
fg_foretold fg_foretell(const fg_streaks *streaks, const fg_kriged *kriged);

/* What it is worth to know a normal value before deciding whether it is above the cut: the
 * expected value of perfect information sd (phi(z) - |z| Phi(-|z|)), z = (mean - cut) / sd.
 * Raiffa & Schlaifer (1961), Applied Statistical Decision Theory, section 5.3 (unit normal
 * linear-loss integral). */
double fg_worth_of_knowing(double mean, double sd, double cut);
/* The same for a value whose logarithm has that mean and deviation, by its partial means. */
double fg_worth_of_knowing_skewed(double mean, double sd, double cut);

/* A straight piece of a contour line. */
typedef struct fg_segment {
  double x1_m, y1_m, x2_m, y2_m;
} fg_segment;

/* Pieces of the line on which the map is `level`, between the cells' middles, by marching
 * squares (each cell parted into two triangles).  *segments is fresh (caller frees). */
fg_status fg_map_contour(const fg_streaks_map *map, double level, fg_segment **segments,
                         size_t *count);

/* Writes the ranked flags, the next places and the old workings as GPX 1.1 text into *bytes
 * (caller frees).  The readings must be placed.  FG_EDOMAIN otherwise; FG_EMEMORY. */
fg_status fg_gpx_make(const fg_readings *readings, const fg_streaks *streaks, char **bytes,
                      size_t *length);

#endif
