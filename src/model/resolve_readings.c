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

static bool given(const fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  return row >= 0 && s->origin[row] >= FG_FROM_CATALOGUE;
}

/* Whether `key` is to be worked out from the reading `from`: that was taken, and nothing
 * (--set, a study) has put the setting itself since. */
static bool wanted(const fg_scenario *s, const char *from, const char *key) {
  return given(s, from) && !given(s, key);
}

static double error_of(const fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  return row >= 0 ? s->error_of[row] : 0.0;
}

/* Puts a value with its error into a row and marks it as worked out. */
static void put(fg_scenario *s, const char *key, double value, double error) {
  const int row = fg_setting_find(key);
  if (row < 0)
    return;
  *fg_setting_number(&fg_settings[row], s) = value;
  s->origin[row] = FG_FROM_DERIVED;
  s->error_of[row] = isfinite(error) && error > 0.0 ? error : 0.0;
}

static fg_status fail(const working *w, const char *key, fg_status status) {
  *w->row = fg_setting_find(key);
  return status;
}

static fg_status weigh_bucket(const working *w) {
  fg_scenario *s = w->s;
  if (wanted(s, "ground.bucket_weight", "ground.bulk_density"))
    put(s, "ground.bulk_density", s->ground.bucket_weight / bucket_m3,
        error_of(s, "ground.bucket_weight") / bucket_m3);
  return FG_OK;
}

static fg_status feel_hose(const working *w) {
  fg_scenario *s = w->s;
  if (!wanted(s, "hose.kind", "hose.roughness"))
    return FG_OK;
  const double *roughness = s->hose.kind == FG_HOSE_SMOOTH ? smooth_roughness : ribbed_roughness;
  s->hose.roughness_basis = FG_BASIS_SI;
  put(s, "hose.roughness", roughness[0], roughness[1]);
  return FG_OK;
}

static fg_status read_jar(const working *w) {
  static const char *const keys[] = {"ground.jar_sand", "ground.jar_silt", "ground.jar_clay"};
  fg_scenario *s = w->s;
  const double layer[3] = {s->ground.jar_sand, s->ground.jar_silt, s->ground.jar_clay};
  double errors[3], share[3], error[3];
  int seen = 0;
  for (int i = 0; i < 3; ++i) {
    seen += given(s, keys[i]);
    errors[i] = error_of(s, keys[i]);
  }
  if (seen == 0 || given(s, "ground.clay"))
    return FG_OK;
  for (int i = 0; i < 3 && seen < 3; ++i)
    if (!given(s, keys[i])) {
      snprintf(w->message, FG_MESSAGE_MAX,
               "is missing: the jar's three layers jar_sand, jar_silt and jar_clay go together "
               "(\"0 in\" for none)");
      return fail(w, keys[i], FG_ESCENARIO);
    }
  fg_status status = fg_jar_shares(layer, share);
  if (status == FG_OK)
    status = fg_jar_errors(layer, errors, error);
  if (status != FG_OK) {
    snprintf(w->message, FG_MESSAGE_MAX, "all three layers of the jar are zero");
    return fail(w, "ground.jar_sand", status);
  }
  put(s, "ground.clay", share[2], error[2]);
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
    return fail(w, "ground.sieves", status);
  }
  /* median_grain and grain_spread hold the log-normal that carries on where the sieves end. */
  if (given(s, "ground.median_grain")) /* a study doubts the sieves */
    s->ground.sieve_shift = s->ground.median_grain / sizes.median_m;
  else
    put(s, "ground.median_grain", sizes.median_m, sieve_error * sizes.median_m);
  if (!given(s, "ground.grain_spread"))
    put(s, "ground.grain_spread", sizes.spread, 0.0);
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
  static const char key[] = "deck.empty_box_pressure";
  fg_scenario *s = w->s;
  const double pressure = s->deck.empty_box_pressure;
  double cloth = 0.0, most = NAN, board = NAN;
  if (!wanted(s, key, "deck.cloth_permeability"))
    return FG_OK;
  const fg_status status = fg_cloth_from_pressure(s, pressure, &cloth, &most, &board);
  if (status == FG_OK) {
    put(s, "deck.cloth_permeability", cloth, cloth_error(s, pressure, cloth, error_of(s, key)));
    return FG_OK;
  }
  if (isfinite(most) && (pressure >= most || isfinite(board)))
    explain_tube(w, pressure, most, board);
  else
    snprintf(w->message, FG_MESSAGE_MAX,
             "the air circuit finds no balance at this reading; check blower and hose");
  return fail(w, key, status);
}

/* Errors of both results: each reading moved by its own, the other kept. */
static void read_shake_errors(const fg_scenario *s, double stroke, double speed, double unbalance,
                              double rated, double errors[2]) {
  double moved[2];
  errors[0] = isnan(stroke) ? 0.0 : unbalance * error_of(s, "shaker.stroke") / stroke;
  errors[1] = isnan(speed) ? 0.0 : rated * error_of(s, "shaker.speed") / speed;
  if (isnan(stroke) || isnan(speed))
    return;
  const double other = speed + error_of(s, "shaker.speed");
  if (fg_shaker_from_readings(s, stroke, other, &moved[0], &moved[1]) == FG_OK)
    errors[0] = hypot(errors[0], moved[0] - unbalance);
}

static fg_status read_shake(const working *w) {
  fg_scenario *s = w->s;
  const bool stroke = wanted(s, "shaker.stroke", "shaker.unbalance");
  const bool speed = wanted(s, "shaker.speed", "shaker.rated_speed");
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
    return fail(w, stroke ? "shaker.stroke" : "shaker.speed", status);
  }
  read_shake_errors(s, x, hz, unbalance, rated, errors);
  if (stroke)
    put(s, "shaker.unbalance", unbalance, errors[0]);
  if (speed)
    put(s, "shaker.rated_speed", rated, errors[1]);
  return FG_OK;
}

fg_status fg_household_machine(fg_scenario *scenario, int *row, char *message) {
  const working w = {scenario, row, message};
  const fg_status status = read_tube(&w);
  return status == FG_OK ? read_shake(&w) : status;
}
