/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Settings that follow from what a prospector can read off ground and machine. */
#include "flourgold/quantity.h"
#include "flourgold/settings.h"
#include "physics/weighed.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "model/household.h"
#include "model/resolve.h"
#include "scenario/settings_table.h"

static const double bucket_m3 = 0.01892705892; /* 5 US gallons */
static const double usual_spread = 3.0;        /* that of ground.grain_spread */
/* Inside of a hose, height over diameter, with its doubt: estimates. */
static const double smooth_roughness[2] = {0.0008, 0.0005}, ribbed_roughness[2] = {0.02, 0.008};

static const double sieve_error = 0.08; /* of a kitchen sieve's opening: estimate */

typedef struct working {
  fg_scenario *s;
  int *row;
  char *message;
} working;

/* Whether `row` is to be worked out from the reading `from`: that was taken, and nothing
 * (--set, a study) has put the setting itself since. */
static bool wanted(const fg_scenario *s, fg_setting_row from, fg_setting_row row) {
  return fg_setting_given(s, from) && !fg_setting_given(s, row);
}

/* Puts a value with its error into a row and marks it as worked out. */
static void put(fg_scenario *s, fg_setting_row row, double value, double error) {
  *fg_setting_number(&fg_settings[row], s) = value;
  s->origin[row] = FG_FROM_DERIVED;
  s->error_of[row] = isfinite(error) && error > 0.0 ? error : 0.0;
}

static fg_status fail(const working *w, fg_setting_row row, fg_status status) {
  *w->row = row;
  return status;
}

static fg_status weigh_bucket(const working *w) {
  fg_scenario *s = w->s;
  if (wanted(s, FG_SET_GROUND_BUCKET_WEIGHT, FG_SET_GROUND_BULK_DENSITY))
    put(s, FG_SET_GROUND_BULK_DENSITY, s->ground.bucket_weight / bucket_m3,
        s->error_of[FG_SET_GROUND_BUCKET_WEIGHT] / bucket_m3);
  return FG_OK;
}

static fg_status feel_hose(const working *w) {
  fg_scenario *s = w->s;
  if (!wanted(s, FG_SET_HOSE_KIND, FG_SET_HOSE_ROUGHNESS))
    return FG_OK;
  const double *roughness = s->hose.kind == FG_HOSE_SMOOTH ? smooth_roughness : ribbed_roughness;
  s->hose.roughness_basis = FG_BASIS_SI;
  put(s, FG_SET_HOSE_ROUGHNESS, roughness[0], roughness[1]);
  return FG_OK;
}

static fg_status read_jar(const working *w) {
  static const fg_setting_row layers[] = {FG_SET_GROUND_JAR_SAND, FG_SET_GROUND_JAR_SILT,
                                          FG_SET_GROUND_JAR_CLAY};
  fg_scenario *s = w->s;
  const double layer[3] = {s->ground.jar_sand, s->ground.jar_silt, s->ground.jar_clay};
  double errors[3], share[3], error[3];
  int seen = 0;
  for (int i = 0; i < 3; ++i) {
    seen += fg_setting_given(s, layers[i]);
    errors[i] = s->error_of[layers[i]];
  }
  if (seen == 0 || fg_setting_given(s, FG_SET_GROUND_CLAY))
    return FG_OK;
  for (int i = 0; i < 3 && seen < 3; ++i)
    if (!fg_setting_given(s, layers[i])) {
      snprintf(w->message, FG_MESSAGE_MAX,
               "is missing: the jar's three layers jar_sand, jar_silt and jar_clay go together "
               "(\"0 in\" for none)");
      return fail(w, layers[i], FG_ESCENARIO);
    }
  fg_status status = fg_jar_shares(layer, share);
  if (status == FG_OK)
    status = fg_jar_errors(layer, errors, error);
  if (status != FG_OK) {
    snprintf(w->message, FG_MESSAGE_MAX, "all three layers of the jar are zero");
    return fail(w, FG_SET_GROUND_JAR_SAND, status);
  }
  put(s, FG_SET_GROUND_CLAY, share[2], error[2]);
  return FG_OK;
}

static fg_status read_sieves(const working *w) {
  fg_scenario *s = w->s;
  fg_sizes sizes;
  if (s->ground.sieve_count == 0)
    return FG_OK;
  s->ground.sieve_shift = 1.0;
  fg_ground_sizes(s, &sizes);
  const fg_status status = fg_sizes_fit(&sizes, usual_spread);
  if (status != FG_OK) {
    snprintf(w->message, FG_MESSAGE_MAX,
             "no sieve parts the gravel: some must stay and some must fall through");
    return fail(w, FG_SET_GROUND_SIEVES, status);
  }
  /* median_grain and grain_spread hold the log-normal that carries on where the sieves end. */
  if (fg_setting_given(s, FG_SET_GROUND_MEDIAN_GRAIN)) /* a study doubts the sieves */
    s->ground.sieve_shift = s->ground.median_grain / sizes.median_m;
  else
    put(s, FG_SET_GROUND_MEDIAN_GRAIN, sizes.median_m, sieve_error * sizes.median_m);
  if (!fg_setting_given(s, FG_SET_GROUND_GRAIN_SPREAD))
    put(s, FG_SET_GROUND_GRAIN_SPREAD, sizes.spread, 0.0);
  return FG_OK;
}

fg_status fg_household_ground(fg_scenario *scenario, int *row, char *message) {
  const working w = {scenario, row, message};
  fg_status status = weigh_bucket(&w);
  if (status == FG_OK)
    status = feel_hose(&w);
  if (status == FG_OK)
    status = read_jar(&w);
  return status == FG_OK ? read_sieves(&w) : status;
}

/* Which of reading and blower is wrong, in words. */
static void explain_tube(const working *w, double pressure, double most, double board) {
  char text[3][64];
  fg_quantity_text(FG_Q_PRESSURE, FG_UNITS_US, pressure, text[0], sizeof text[0]);
  fg_quantity_text(FG_Q_PRESSURE, FG_UNITS_US, most, text[1], sizeof text[1]);
  fg_quantity_text(FG_Q_PRESSURE, FG_UNITS_US, board, text[2], sizeof text[2]);
  if (pressure >= most)
    snprintf(w->message, FG_MESSAGE_MAX,
             "%s is more than this blower can hold in a box that lets nothing through (%s): "
             "the reading is too high, or the blower's free_volume, nozzle_speed or label_derate "
             "too low",
             text[0], text[1]);
  else
    snprintf(w->message, FG_MESSAGE_MAX,
             "%s is less than the holes of the board alone would hold (%s at all the air this "
             "blower then gives): the reading is too low (gate open, throttle not full?), or the "
             "blower's free_volume too high",
             text[0], text[2]);
}

/* Half of what the cloth moves from one error below the reading to one above. */
static double cloth_error(const fg_scenario *s, double pressure, double cloth, double error) {
  double side[2] = {cloth, cloth}, span = 0.0;
  for (int i = 0; i < 2; ++i) {
    const double moved = pressure + (i == 0 ? -error : error);
    if (fg_cloth_from_pressure(s, moved, &side[i], NULL, NULL) == FG_OK)
      span += 1.0;
    else
      side[i] = cloth;
  }
  return span > 0.0 ? fabs(side[0] - side[1]) / span : 0.0;
}

static fg_status read_tube(const working *w) {
  static const fg_setting_row tube = FG_SET_DECK_EMPTY_BOX_PRESSURE;
  fg_scenario *s = w->s;
  const double pressure = s->deck.empty_box_pressure;
  double cloth = 0.0, most = NAN, board = NAN;
  if (!wanted(s, tube, FG_SET_DECK_CLOTH_PERMEABILITY))
    return FG_OK;
  const fg_status status = fg_cloth_from_pressure(s, pressure, &cloth, &most, &board);
  if (status == FG_OK) {
    put(s, FG_SET_DECK_CLOTH_PERMEABILITY, cloth,
        cloth_error(s, pressure, cloth, s->error_of[tube]));
    return FG_OK;
  }
  if (isfinite(most) && (pressure >= most || isfinite(board)))
    explain_tube(w, pressure, most, board);
  else
    snprintf(w->message, FG_MESSAGE_MAX,
             "the air circuit finds no balance at this reading; check blower and hose");
  return fail(w, tube, status);
}

/* Errors of both results: each reading moved by its own, the other kept. */
static void read_shake_errors(const fg_scenario *s, double stroke, double speed, double unbalance,
                              double rated, double errors[2]) {
  double moved[2];
  errors[0] = isnan(stroke) ? 0.0 : unbalance * s->error_of[FG_SET_SHAKER_STROKE] / stroke;
  errors[1] = isnan(speed) ? 0.0 : rated * s->error_of[FG_SET_SHAKER_SPEED] / speed;
  if (isnan(stroke) || isnan(speed))
    return;
  const double other = speed + s->error_of[FG_SET_SHAKER_SPEED];
  if (fg_shaker_from_readings(s, stroke, other, &moved[0], &moved[1]) == FG_OK)
    errors[0] = hypot(errors[0], moved[0] - unbalance);
}

static fg_status read_shake(const working *w) {
  fg_scenario *s = w->s;
  const bool stroke = wanted(s, FG_SET_SHAKER_STROKE, FG_SET_SHAKER_UNBALANCE);
  const bool speed = wanted(s, FG_SET_SHAKER_SPEED, FG_SET_SHAKER_RATED_SPEED);
  double unbalance = NAN, rated = NAN, errors[2];
  if (!stroke && !speed)
    return FG_OK;
  const double x = stroke ? s->shaker.stroke : (double)NAN;
  const double hz = speed ? s->shaker.speed : (double)NAN;
  const fg_status status = fg_shaker_from_readings(s, x, hz, &unbalance, &rated);
  if (status != FG_OK) {
    snprintf(w->message, FG_MESSAGE_MAX,
             "the machine has no balance at the settings it was read at: %s",
             fg_status_text(status));
    return fail(w, stroke ? FG_SET_SHAKER_STROKE : FG_SET_SHAKER_SPEED, status);
  }
  read_shake_errors(s, x, hz, unbalance, rated, errors);
  if (stroke)
    put(s, FG_SET_SHAKER_UNBALANCE, unbalance, errors[0]);
  if (speed)
    put(s, FG_SET_SHAKER_RATED_SPEED, rated, errors[1]);
  return FG_OK;
}

fg_status fg_household_machine(fg_scenario *scenario, int *row, char *message) {
  const working w = {scenario, row, message};
  const fg_status status = read_tube(&w);
  return status == FG_OK ? read_shake(&w) : status;
}
