/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_GROUND_WATER_H
#define FLOURGOLD_GROUND_WATER_H

#include <stdbool.h>

#include "flourgold/status.h"

/* Bare ground from the surface down: the evaporation layer of FAO-56, and below it water that
 * diffuses up to the layer.  Both together dry by Ritchie's square-root-of-time law once what
 * evaporates readily is gone. */

enum { FG_GROUND_CELLS = 48 }; /* below the layer, thicker with depth */

typedef struct fg_ground {
  double field_capacity; /* by volume */
  double residual;       /* by volume: what sun does not take */
  double saturation;     /* by volume, at least field capacity */
  double layer_m;        /* evaporation layer */
  double tew_m, rew_m;   /* of the layer, 0 <= rew < tew */
  double second_stage_m; /* Ritchie's coefficient: m in the first day */
  double hold;           /* share of water above field capacity left after a day, 0-1 */
  double flooded_m;      /* how deep a flood saturates it */
  double below_m;        /* how deep the ground is followed below the layer */
  double dry_kg_m3;      /* dry mass, per volume in place, of what the moisture is told for: what
                            passes the screen (stones hold no water) */
} fg_ground;

/* Water in the ground, as departures from field capacity (m). */
typedef struct fg_ground_water {
  double excess_m;                   /* above field capacity, evenly over flooded_m */
  double depletion_m;                /* missing from the layer */
  double second_m;                   /* lost in the second stage */
  double shower_m;                   /* rain in the layer that will dry before the rest does */
  double missing_m[FG_GROUND_CELLS]; /* missing from each cell below it, top first */
} fg_ground_water;

typedef struct fg_ground_day {
  double rain_m; /* falls early in the day */
  double et0_m;  /* below 0 (dew) counts as 0 */
  double kc_max; /* evaporation of wet bare ground over et0: 1.2 in FAO-56 */
  bool flooded;  /* a wash ran: the day ends with the ground saturated */
} fg_ground_day;

typedef struct fg_ground_result {
  double kr, ke;              /* evaporation over its power, and over et0; excess left out */
  double evaporation_m;       /* all of it */
  double evaporation_below_m; /* the part drawn from below the layer */
  double percolation_m;       /* out of the layer, downwards */
  double drained_m;           /* beyond what is followed here */
  double flood_m;             /* brought by a flood */
} fg_ground_result;

/* Ground with nothing missing and no excess. */
void fg_ground_at_capacity(fg_ground_water *water);

/* Dries the layer by `share` (0-1) of its tew, and what lies below it by the same share of an
 * error-function profile of length `length_m` (0: not at all). */
void fg_ground_dried(const fg_ground *column, double share, double length_m,
                     fg_ground_water *water);

/* All that is missing less the excess (m). */
double fg_ground_missing(const fg_ground_water *water);

/* One day.  Rain fills the layer, then what is missing below it from the top down, then drains
 * away; what a flood left above field capacity drains by `hold` a day.  Evaporation comes from
 * the excess first, then from the layer at full power (kc_max et0) until it has given rew (FAO-56,
 * the first stage); from then on layer and ground below give together what Ritchie's law allows,
 * coefficient times the square root of the days of the second stage, and never more than the
 * power.  What comes from below diffuses at fg_ritchie_diffusivity() to the layer's foot; the
 * layer gives the rest.  Rain that the layer holds in its second stage dries first, by the law from
 * the layer's own state; what reaches the ground below sets the second stage back.  Water is
 * conserved:
 * rain + flood = evaporation + drained - change of fg_ground_missing().  Source: Ritchie, Water
 * Resources Research 8:1204, 1972; FAO-56, chapter 7.  FG_EDOMAIN when the column or the day makes
 * no sense. */
fg_status fg_ground_step(const fg_ground *column, const fg_ground_day *day, fg_ground_water *water,
                         fg_ground_result *result);

/* Water by dry mass at a depth (m), and its mean from the surface to a depth above 0; depths
 * at most layer_m + below_m. */
double fg_ground_moisture(const fg_ground *column, const fg_ground_water *water, double depth_m);
double fg_ground_mean_moisture(const fg_ground *column, const fg_ground_water *water,
                               double depth_m);

/* Depth (m, at most `most_m`) down to which the mean moisture is no more than `limit`; 0 when
 * even the surface is wetter. */
double fg_ground_dry_depth(const fg_ground *column, const fg_ground_water *water, double limit,
                           double most_m);

/* Sets the water so that the mean moisture down to `depth_m` is `moisture` (measured): the
 * layer dries before what lies below it.  A measurement drier than the column can get lowers
 * its residual (and tew with it).  FG_EDOMAIN when it is wetter than saturation, or below 0. */
fg_status fg_ground_measured(fg_ground *column, double depth_m, double moisture,
                             fg_ground_water *water);

#endif
