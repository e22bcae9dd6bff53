/* SPDX-License-Identifier: GPL-3.0-or-later */
/* plot NAME FILE -o PICTURE: draws one of the pictures. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/dry_call.h"
#include "core/nearest.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/dry_report.h"
#include "pages/plot.h"
#include "study/cleanup.h"
#include "study/knobs.h"
#include "study/map.h"

static int unknown_picture(const char *name) {
  char all[256] = "";
  for (size_t i = 0; i < fg_pictures_count; ++i) {
    size_t used = strlen(all);
    (void)snprintf(all + used, sizeof all - used, "%s%s", i > 0 ? ", " : "", fg_pictures[i].name);
  }
  const char *near = fg_picture_nearest(name);
  if (near)
    return fg_call_fail("there is no picture '%s'; did you mean '%s'? The pictures: %s", name, near,
                        all);
  return fg_call_fail("there is no picture '%s'; the pictures: %s", name, all);
}

/* *size_m is NaN when no size was asked for. */
static int read_size(const fg_call *call, const fg_picture *picture, double *size_m) {
  *size_m = fg_call_number(call, "--size", (double)NAN);
  if (isfinite(*size_m) && !picture->sized)
    return fg_call_fail("--size: picture '%s' shows every size; leave it out", picture->name);
  return FG_EXIT_DONE;
}

static int check_size(const fg_call *call, double size_m, const fg_scenario *scenario) {
  if (isnan(size_m) || (size_m > FG_PLOT_FINEST && size_m < scenario->screen.opening))
    return FG_EXIT_DONE;
  char opening[64];
  (void)fg_quantity_text(FG_Q_GRAIN_SIZE, call->units, scenario->screen.opening, opening,
                         sizeof opening);
  return fg_call_fail("--size '%s': it must be above 0.001 mm and below the screen's opening, %s",
                      fg_call_option(call, "--size"), opening);
}

static int stalled(const fg_scenario *scenario, const fg_picture *picture) {
  fg_machine machine;
  const fg_status status = fg_machine_solve(scenario, &machine);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  return fg_call_no_answer(
      "%s: the deck stalls: at its best it would carry %.0f %% of the feed, so there is no "
      "picture '%s'. What starts it again: more air, more shake, less feed, drier or finer "
      "feed",
      scenario->file, 100.0 * (1.0 + machine.capacity_margin), picture->name);
}

/* Every option but --size belongs to the picture of the drying. */
static bool is_map(const fg_picture *picture) { return strcmp(picture->name, "map") == 0; }

static int check_options(const fg_call *call, const fg_picture *picture) {
  for (size_t i = 0; i < call->given_count; ++i) {
    const bool of_map = strcmp(call->given[i].option->name, "--knobs") == 0 ||
                        strcmp(call->given[i].option->name, "--aim") == 0;
    if (of_map && !is_map(picture))
      return fg_call_fail("%s: picture '%s' is not over knobs; leave it out",
                          call->given[i].option->name, picture->name);
    if (!of_map && strcmp(call->given[i].option->name, "--size") != 0)
      return fg_call_fail("%s: picture '%s' shows no weather; leave it out",
                          call->given[i].option->name, picture->name);
  }
  return FG_EXIT_DONE;
}

/* "throttle,gate" into two knobs. */
static int read_knobs(const fg_call *call, fg_knob knobs[2]) {
  int named[FG_KNOBS];
  const size_t count = fg_call_names(call, "--knobs", named);
  if (count != 0 && count != 2)
    return fg_call_fail("--knobs: '%s': name two different knobs, for instance throttle,gate",
                        fg_call_option(call, "--knobs"));
  for (size_t i = 0; i < count; ++i)
    knobs[i] = (fg_knob)named[i];
  return FG_EXIT_DONE;
}

static int read_map(const fg_call *call, fg_map_choice *map) {
  *map = (fg_map_choice){{FG_KNOB_THROTTLE, FG_KNOB_GATE},
                         (fg_aim)fg_call_number(call, "--aim", FG_AIM_GOLD_PER_HOUR)};
  return read_knobs(call, map->knob);
}

static int plot_drying(const fg_call *call, const fg_picture *picture) {
  char message[2048];
  fg_dry_call dry;
  fg_plot plot = {0};
  int code = fg_dry_call_run(call, &dry);
  if (code == FG_EXIT_DONE) {
    const fg_dry_story story = {.scenario = &dry.scenario,
                                .options = &dry.options,
                                .drying = &dry.drying,
                                .units = call->units};
    fg_status status = fg_dry_plot(picture, &story, &plot);
    if (status == FG_OK)
      status = fg_plot_draw(picture->name, &plot, call->output, message, sizeof message);
    else
      (void)snprintf(message, sizeof message, "%s", fg_status_text(status));
    fg_plot_free(&plot);
    code = status == FG_OK ? FG_EXIT_DONE : fg_call_fail("%s", message);
  }
  fg_dry_call_free(&dry);
  return code;
}

int fg_cmd_plot(fg_call *call) {
  char message[2048];
  const fg_picture *picture = fg_picture_find(call->words[0]);
  if (!picture)
    return unknown_picture(call->words[0]);
  double size_m;
  int code = read_size(call, picture, &size_m);
  if (code != FG_EXIT_DONE)
    return code;
  if (fg_plot_target(call->output, message, sizeof message) != FG_OK)
    return fg_call_fail("%s", message);
  if (!picture->fill)
    return plot_drying(call, picture);
  code = check_options(call, picture);
  if (code != FG_EXIT_DONE)
    return code;
  fg_scenario scenario;
  fg_map_choice map;
  code = read_map(call, &map);
  if (code == FG_EXIT_DONE)
    code = fg_call_scenario(call, &scenario);
  if (code == FG_EXIT_DONE)
    code = check_size(call, size_m, &scenario);
  if (code != FG_EXIT_DONE)
    return code;
  if (strcmp(picture->name, "cleanup") == 0 &&
      fg_cleanup_check(&scenario, message, sizeof message) != FG_OK)
    return fg_call_fail("%s: %s", scenario.file, message);
  fg_plot plot = {0};
  fg_status status = is_map(picture) ? fg_plot_make_map(&scenario, call->units, &map, &plot)
                                     : fg_plot_make(picture, &scenario, call->units, size_m, &plot);
  if (status == FG_ESTALL)
    return stalled(&scenario, picture);
  if (status != FG_OK)
    return fg_call_unsolved(&scenario, status);
  status = fg_plot_draw(picture->name, &plot, call->output, message, sizeof message);
  fg_plot_free(&plot);
  return status == FG_OK ? FG_EXIT_DONE : fg_call_fail("%s", message);
}
