/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_EVAPORATION_H
#define FLOURGOLD_EVAPORATION_H

#include "flourgold/status.h"

/* Bare ground losing water: the evaporation layer of FAO-56, and what lies below it. */

/* ---- the layer: dual crop coefficient, FAO-56 chapter 7 ---- */

/* One day of a layer.  Depths of water in m. */
typedef struct fg_layer_day {
  double tew_m, rew_m; /* total and readily evaporable water, 0 <= rew < tew */
  double depletion_m;  /* at the end of the day before, 0 to tew */
  double rain_m;       /* falls early in the day */
  double et0_m;        /* reference evapotranspiration of the day; below 0 (dew) counts as 0 */
  double kc_max;       /* upper limit of evaporation and transpiration over et0 */
  double kcb;          /* basal crop coefficient: 0 for bare ground */
  double exposed;      /* few: share of the ground that is bare and wetted, above 0 to 1 */
} fg_layer_day;

typedef struct fg_layer_result {
  double kr;            /* reduction, eq. 74, from the depletion after the rain */
  double ke;            /* evaporation coefficient, eq. 71 */
  double evaporation_m; /* over all ground; the layer cannot lose more than it holds */
  double percolation_m; /* rain beyond field capacity, eq. 79 */
  double depletion_m;   /* at the end of the day, eq. 77 without runoff */
} fg_layer_result;

/* eq. 74: 1 until rew is gone, then falling in a straight line to 0 at tew.
 * FG_EDOMAIN unless 0 <= rew < tew and 0 <= depletion <= tew. */
fg_status fg_evaporation_reduction(double tew_m, double rew_m, double depletion_m, double *kr);

/* FG_EDOMAIN when a value lies outside the ranges given above. */
fg_status fg_layer_step(const fg_layer_day *day, fg_layer_result *result);

/* ---- the second stage: Ritchie, Water Resources Research 8:1204, 1972 ---- */

/* Water (m) lost by bare ground `days` after the end of the first stage: first_stage +
 * coefficient sqrt(days); coefficient in m for the first day. */
fg_status fg_ritchie_loss(double first_stage_m, double coefficient_m, double days, double *loss_m);

/* Diffusivity (m2/s) at which ground that starts `range` (by volume) above the water content
 * held at its surface loses coefficient sqrt(days): pi/4 (coefficient/range)^2 a day.
 * Source: Crank, The Mathematics of Diffusion, 1975, eq. 3.15, the semi-infinite medium. */
fg_status fg_ritchie_diffusivity(double coefficient_m, double range, double *diffusivity_m2_s);

/* ---- spread on a tarp ---- */

typedef struct fg_spread {
  double thickness_m;
  double raked_m; /* no more than this is turned over */
  double sun_s;   /* hours of sun around noon, in s */
  double daylight_s;
  double net_w_m2; /* net radiation, mean of the day, of ground as warm as the air */
  double air_k;    /* in those hours */
  double vapour_pa, pressure_pa, wind_m_s; /* wind at 2 m */
  double bulk_kg_m3;                       /* dry, loose */
  double moisture;                         /* before */
  double residual;                         /* by dry mass: what the sun leaves */
} fg_spread;

/* Mean moisture after spreading.  A balance of heat and of vapour, marched through the hours: net
 * radiation (half a sine over the day) warms gravel no deeper than 0.1 m, goes to the air, or
 * evaporates; vapour goes from the gravel's temperature to the air's vapour through the air
 * (208/wind s/m, FAO-56 eq. 4) and through gravel that has dried above the wet, diffusion times
 * voidage^1.5 (Marshall 1959, value from memory), once no water creeps up (below 3 %: estimate).
 * Every half hour what a rake reaches is mixed
 * again; what lies deeper stays as it was.  Water down to the residual evaporates as free water
 * does.  FG_EDOMAIN when a value makes no sense. */
fg_status fg_spread_drying(const fg_spread *spread, double *moisture);

#endif
