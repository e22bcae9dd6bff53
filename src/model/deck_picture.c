/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One gold size on its way down a deck just cleaned, point by point. */
#include <math.h>
#include <stdlib.h>

#include "model/capture_internal.h"
#include "model/deck.h"

/* Finer than a run needs: the picture shows the layers themselves. */
enum { LAYERS = 32, STEPS_IN_ALL = 160, PITCH_STEPS_LEAST = 4 };

typedef struct deck_watch {
  fg_deck_point point;
  void *context;
  double depth_m;
  double head; /* what comes loose at the head: the unit of concentration */
} deck_watch;

static void show_profile(const fg_march *march, double x_m, void *context) {
  const deck_watch *watch = context;
  double concentration[LAYERS];
  fg_march_profile(march, 0, concentration);
  for (int j = 0; j < LAYERS; ++j)
    watch->point(x_m, (j + 0.5) * watch->depth_m / LAYERS, concentration[j] / watch->head,
                 watch->context);
}

static fg_status watch_capture(fg_capture *capture, const fg_machine *machine, fg_deck_point point,
                               void *context) {
  deck_watch watch = {point, context, machine->at.depth_m, capture->freed[0]};
  if (!(watch.head > 0.0))
    return FG_EDOMAIN;
  fg_catch result;
  fg_status status = fg_catch_new(capture, &result);
  if (status != FG_OK)
    return status;
  fg_march_observe(capture->group[FG_GOLD].march, show_profile, &watch);
  status = fg_capture_run(capture, FG_POCKETS_EMPTY, &result);
  fg_march_observe(capture->group[FG_GOLD].march, NULL, NULL);
  fg_catch_free(&result);
  return status;
}

fg_status fg_loss_deck(const fg_scenario *scenario, double size_m, fg_deck_point point,
                       void *context) {
  if (!(size_m > 0.0 && size_m < scenario->screen.opening))
    return FG_EDOMAIN;
  /* The one class lies first among the lanes; its sieves enclose the size. */
  const double half = fmin(1.01, scenario->screen.opening / size_m);
  fg_scenario one = *scenario;
  one.gold.class_count = 1;
  one.gold.classes[0] = (fg_size_class){size_m / half, size_m * half, 1.0};
  fg_machine machine;
  fg_status status = fg_machine_solve(&one, &machine);
  if (status != FG_OK)
    return status;
  if (machine.stalled)
    return FG_ESTALL;
  const size_t pitch_steps = STEPS_IN_ALL / (size_t)scenario->deck.riffles;
  const fg_loss_options options = {.fresh = true,
                                   .cells = LAYERS,
                                   .steps = pitch_steps > PITCH_STEPS_LEAST ? pitch_steps
                                                                            : PITCH_STEPS_LEAST};
  fg_capture *capture = NULL;
  status = fg_capture_new(&one, &machine, &options, &capture);
  if (status == FG_OK)
    status = watch_capture(capture, &machine, point, context);
  fg_capture_free(capture);
  return status;
}
