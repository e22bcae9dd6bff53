/* SPDX-License-Identifier: GPL-3.0-or-later */
/* streaks READINGS: from black-sand readings to ranked flags and a map. */
#include "core/write.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "cli/cli.h"
#include "pages/streaks_report.h"
#include "report/draw.h"

enum { TOP_USUAL = 10 };
static const double pi = 3.14159265358979323846;
static const double usual_power = 2.0;

/* What the command line asks for. */
typedef struct streaks_wish {
  fg_readings_options reading;
  fg_streaks_options options;
  const char *at, *map, *gpx;
  size_t top;
} streaks_wish;

static int read_origin(const fg_call *call, fg_readings_options *reading) {
  if (!fg_call_pair(call, "--origin", &reading->origin_latitude_deg,
                    &reading->origin_longitude_deg))
    return FG_EXIT_DONE;
  if (!(fabs(reading->origin_latitude_deg) <= 90.0) ||
      !(fabs(reading->origin_longitude_deg) <= 180.0))
    return fg_call_fail("--origin '%s': latitude is from -90 to 90 and comes first, longitude from "
                        "-180 to 180",
                        fg_call_option(call, "--origin"));
  reading->origin = true;
  return FG_EXIT_DONE;
}

static int read_model(const fg_call *call, fg_streaks_options *options) {
  const char *text = fg_call_option(call, "--variogram");
  char message[256];
  options->rank_by_chance = fg_call_number(call, "--by", 0.0) > 0.0;
  if (!text)
    return FG_EXIT_DONE;
  if (!fg_variogram_parse(text, &options->variogram, message, sizeof message))
    return fg_call_fail("--variogram: %s", message);
  options->variogram_given = true;
  return FG_EXIT_DONE;
}

static int check_targets(const streaks_wish *wish) {
  char message[512];
  if (wish->gpx && wish->gpx[0] == '\0')
    return fg_call_fail("--gpx needs the name of a file");
  if (!wish->map)
    return FG_EXIT_DONE;
  const size_t length = strlen(wish->map);
  if (length < 5 || (strcasecmp(wish->map + length - 4, ".svg") != 0 &&
                     strcasecmp(wish->map + length - 4, ".png") != 0))
    return fg_call_fail("--map '%s': the name of a picture ends in .svg or .png", wish->map);
  if (fg_plot_target(wish->map, message, sizeof message) != FG_OK)
    return fg_call_fail("%s", message);
  return FG_EXIT_DONE;
}

static int read_wish(const fg_call *call, streaks_wish *wish) {
  *wish = (streaks_wish){.top = (size_t)fg_call_number(call, "--top", TOP_USUAL)};
  wish->options = (fg_streaks_options){
      .cut = fg_call_number(call, "--cut", (double)NAN),
      .power = fg_call_number(call, "--power", usual_power),
      .direction_rad = fg_call_number(call, "--direction", (double)NAN) * pi / 180.0,
      .neighbours = (size_t)fg_call_number(call, "--neighbours", 0.0)};
  wish->reading.field = fg_call_option(call, "--field");
  wish->reading.pan = fg_call_option(call, "--pan");
  wish->at = fg_call_option(call, "--at");
  wish->map = fg_call_option(call, "--map");
  wish->gpx = fg_call_option(call, "--gpx");
  int code = read_origin(call, &wish->reading);
  if (code == FG_EXIT_DONE)
    code = read_model(call, &wish->options);
  return code == FG_EXIT_DONE ? check_targets(wish) : code;
}

static int read_readings(const fg_call *call, const streaks_wish *wish, fg_readings *readings) {
  fg_complaints complaints = {0};
  const fg_status status = fg_readings_read(call->words[0], &wish->reading, readings, &complaints);
  return fg_call_complain(call->words[0], status, &complaints);
}

static int compare_order(const void *left, const void *right) {
  const size_t a = *(const size_t *)left;
  const size_t b = *(const size_t *)right;
  return a < b ? -1 : a > b;
}

/* The readings an estimate was made of, in the order of the file. */
static void keep_weights(const fg_kriging *kriging, fg_place_asked *at) {
  const size_t *index;
  const double *weight;
  fg_kriging_last(kriging, &at->count, &index, &weight);
  memcpy(at->index, index, at->count * sizeof *index);
  qsort(at->index, at->count, sizeof *at->index, compare_order);
  for (size_t i = 0; i < at->count; ++i)
    for (size_t k = 0; k < at->count; ++k)
      if (at->index[i] == index[k])
        at->weight[i] = weight[k];
}

static int ask_place(const fg_call *call, const streaks_wish *wish, const fg_readings *readings,
                     const fg_streaks *streaks, fg_place_asked *at) {
  char message[256];
  double a, b;
  if (!fg_call_pair(call, "--at", &a, &b))
    return FG_EXIT_DONE;
  if (!fg_readings_place(readings, a, b, &at->x_m, &at->y_m, message, sizeof message))
    return fg_call_fail("--at: %s", message);
  fg_kriging *kriging = NULL;
  fg_status status = fg_streaks_kriging(readings, streaks, &kriging);
  if (status == FG_OK)
    status = fg_kriging_at(kriging, at->x_m, at->y_m, &at->kriged);
  if (status == FG_OK) {
    at->asked = true;
    at->inverse_distance = fg_inverse_distance(kriging, wish->options.power, &streaks->scale);
    keep_weights(kriging, at);
  }
  fg_kriging_free(kriging);
  if (status == FG_OK)
    return FG_EXIT_DONE;
  return fg_call_no_answer("%s: no estimate at %s: %s", call->words[0], wish->at,
                           fg_status_text(status));
}

static int write_gpx(const streaks_wish *wish, const fg_readings *readings,
                     const fg_streaks *streaks) {
  char message[512];
  char *bytes = NULL;
  size_t length = 0;
  if (!wish->gpx)
    return FG_EXIT_DONE;
  fg_status status = fg_gpx_make(readings, streaks, &bytes, &length);
  if (status != FG_OK)
    return fg_call_fail("--gpx: %s", fg_status_text(status));
  status = fg_write_file(wish->gpx, bytes, length, message, sizeof message);
  free(bytes);
  return status == FG_OK ? FG_EXIT_DONE : fg_call_fail("%s", message);
}

/* Why there is no ranking. */
static int explain(const fg_call *call, const fg_readings *readings, fg_status status) {
  const char *path = call->words[0];
  if (readings->count < 3)
    return fg_call_fail("%s: %zu place%s with a reading; a ranking needs at least 3 different ones "
                        "(12 for a variogram of their own)",
                        path, readings->count, readings->count == 1 ? "" : "s");
  if (status == FG_EDOMAIN) {
    return fg_call_no_answer("%s: all %zu readings are alike (%g): there is nothing to rank", path,
                             readings->count, readings->list[0].value);
  }
  if (status == FG_EMEMORY)
    return fg_call_fail("%s: %s", path, fg_status_text(status));
  return fg_call_no_answer(
      "%s: the kriging equations cannot be solved with this variogram; give it a nugget", path);
}

static int tell(const fg_call *call, const streaks_wish *wish, const fg_readings *readings,
                const fg_streaks *streaks) {
  char message[2048];
  fg_place_asked at = {0};
  const fg_streaks_story story = {.path = call->words[0],
                                  .readings = readings,
                                  .streaks = streaks,
                                  .at = &at,
                                  .power = wish->options.power,
                                  .top = wish->top,
                                  .map = wish->map,
                                  .gpx = wish->gpx,
                                  .units = call->units};
  int code = ask_place(call, wish, readings, streaks, &at);
  if (code == FG_EXIT_DONE)
    code = write_gpx(wish, readings, streaks);
  if (code == FG_EXIT_DONE && wish->map &&
      fg_streaks_picture(&story, wish->map, message, sizeof message) != FG_OK)
    code = fg_call_fail("%s", message);
  return code == FG_EXIT_DONE ? fg_call_emit(call, fg_streaks_report(&story), FG_EXIT_DONE) : code;
}

int fg_cmd_streaks(fg_call *call) {
  streaks_wish wish;
  fg_readings readings;
  int code = read_wish(call, &wish);
  if (code == FG_EXIT_DONE)
    code = read_readings(call, &wish, &readings);
  if (code != FG_EXIT_DONE)
    return code;
  if (wish.gpx && !readings.placed) {
    fg_readings_free(&readings);
    return fg_call_fail("--gpx needs latitudes and longitudes, and the readings have x and y. Give "
                        "the place where both are 0 with --origin LAT,LON (y to the north)");
  }
  fg_streaks streaks;
  const fg_status status = fg_streaks_run(&readings, &wish.options, &streaks);
  if (status == FG_OK) {
    code = tell(call, &wish, &readings, &streaks);
    fg_streaks_free(&streaks);
  } else {
    code = explain(call, &readings, status);
  }
  fg_readings_free(&readings);
  return code;
}
