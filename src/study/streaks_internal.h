/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SITE_STREAKS_INTERNAL_H
#define FLOURGOLD_SITE_STREAKS_INTERNAL_H

#include "study/streaks.h"

/* How the places lie. */
typedef struct fg_survey {
  fg_datum *data; /* the readings */
  size_t count;
  double low[2], high[2]; /* corners */
  double diagonal_m;
  double spacing_m;  /* median distance to the nearest other place */
  double axis_rad;   /* long axis, clockwise from north */
  double elongation; /* spread along it over spread across, >= 1 */
  bool collinear;
  double mean, variance; /* of the readings on their own scale */
} fg_survey;

fg_status fg_survey_make(const fg_readings *readings, fg_survey *survey);
void fg_survey_free(fg_survey *survey);

/* Brings the data from the readings' own scale into another. */
void fg_survey_rescale(fg_survey *survey, const fg_value_scale *scale);

/* Fills variogram, freedom, chance, candidates, cross of *streaks; the survey is in its scale. */
fg_status fg_streaks_choose(const fg_survey *survey, const fg_streaks_options *options,
                            fg_streaks *streaks);

/* Fills the map; streaks->variogram, neighbours and cut must be set. */
fg_status fg_streaks_draw(const fg_survey *survey, fg_kriging *kriging, fg_streaks *streaks);

/* Fills the next places from the map. */
fg_status fg_streaks_look_ahead(const fg_readings *readings, const fg_survey *survey,
                                fg_streaks *streaks);

/* Distance to the nearest old workings, infinite when there are none. */
double fg_workings_distance(const fg_readings *readings, double x_m, double y_m);

#endif
