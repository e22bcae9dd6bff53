/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a command line to a drying. */
#include "cli/dry_call.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/date.h"
#include "flourgold/complaints.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"

enum { DAYS_USUAL = 90, TEXT = 128 };

static int add_flood(fg_drying_options *o, double day) {
  if (o->flood_count == FG_MEASUREMENTS_MAX)
    return fg_call_fail("--flooded: at most %d days", FG_MEASUREMENTS_MAX);
  o->flooded[o->flood_count++] = (int)day;
  return 0;
}

/* Keeps measurements in the order of their days. */
static int insert_measurement(fg_drying_options *o, fg_measurement m, const char *text) {
  size_t at = o->measurement_count;
  if (at == FG_MEASUREMENTS_MAX)
    return fg_call_fail("--measured: at most %d days", FG_MEASUREMENTS_MAX);
  for (size_t i = 0; i < o->measurement_count; ++i)
    if (o->measured[i].day == m.day)
      return fg_call_fail("--measured: '%s': that day is given twice", text);
  while (at > 0 && o->measured[at - 1].day > m.day) {
    o->measured[at] = o->measured[at - 1];
    --at;
  }
  o->measured[at] = m;
  ++o->measurement_count;
  return 0;
}

static int read_repeated(const fg_call *call, fg_drying_options *o) {
  int wrong = 0;
  for (size_t i = 0; i < call->given_count && wrong == 0; ++i) {
    if (strcmp(call->given[i].option->name, "--flooded") == 0)
      wrong = add_flood(o, call->given[i].number);
    else if (strcmp(call->given[i].option->name, "--measured") == 0)
      wrong = insert_measurement(
          o, (fg_measurement){.day = (int)call->given[i].number, .moisture = call->given[i].second},
          call->given[i].value);
  }
  return wrong;
}

static int read_options(const fg_call *call, fg_drying_options *o) {
  *o = (fg_drying_options){.wind_height_m = fg_call_number(call, "--wind-height", (double)NAN),
                           .allow = fg_call_number(call, "--allow", 0.10),
                           .days_ahead = (int)fg_call_number(call, "--days", DAYS_USUAL)};
  int wrong = read_repeated(call, o);
  fg_ensemble_choice choice = {0};
  if (wrong == 0)
    wrong = fg_call_ensemble(call, &choice);
  o->samples = choice.exact ? 0 : choice.samples;
  o->seed = choice.seed;
  return wrong;
}

static int read_weather(const fg_call *call, fg_dry_call *dry) {
  fg_complaints complaints = {0};
  const char *path = fg_call_option(call, "--weather");
  const char *means = fg_call_option(call, "--means");
  if (!path || path[0] == '\0')
    return fg_call_fail("--weather CSV is needed: a file whose first row is date, rain [in], tmin "
                        "[degF], tmax [degF]");
  fg_status status = fg_weather_read(path, &dry->weather, &complaints);
  if (status == FG_OK && means)
    status = fg_weather_read_means(means, &dry->means, &complaints);
  const int wrong = fg_call_complain(path, status, &complaints);
  dry->options.weather_path = path;
  dry->options.weather = &dry->weather;
  dry->options.means = means ? &dry->means : NULL;
  return wrong;
}

static int run(const fg_call *call, fg_dry_call *dry) {
  const char *file = call->files[0];
  fg_complaints complaints = {0};
  const fg_status status = fg_drying_run(&dry->scenario, &dry->options, &dry->drying, &complaints);
  if (status != FG_ESTALL && (status != FG_EDOMAIN || complaints.count > 0))
    return fg_call_complain(file, status, &complaints);
  fg_complaints_free(&complaints);
  return fg_call_no_answer(
      status == FG_ESTALL
          ? "%s: the deck stalls even with bone-dry gravel, at every throttle and gate tried; "
            "`flourgold loss %s` says what is missing"
          : "%s: the deck keeps no gold even when bone dry; `flourgold loss %s` says why",
      file, file);
}

int fg_dry_call_run(const fg_call *call, fg_dry_call *dry) {
  *dry = (fg_dry_call){.weather = {0}};
  int wrong = read_options(call, &dry->options);
  if (wrong == 0)
    wrong = fg_call_scenario(call, &dry->scenario);
  if (wrong == 0)
    wrong = read_weather(call, dry);
  return wrong == 0 ? run(call, dry) : wrong;
}

void fg_dry_call_free(fg_dry_call *dry) {
  fg_drying_free(&dry->drying);
  fg_weather_free(&dry->weather);
  fg_weather_free(&dry->means);
}
