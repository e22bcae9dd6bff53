/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CAPTURE_INTERNAL_H
#define FLOURGOLD_CAPTURE_INTERNAL_H

#include <stdbool.h>

#include "flourgold/loss.h"
#include "model/model_internal.h"
#include "physics/march.h"
#include "physics/sizes.h"

enum { FG_LANES_MAX = FG_GOLD_CLASSES_MAX + 2 * FG_SAND_CLASSES_MAX };

size_t fg_sand_classes(const fg_sizes *sizes, double opening, fg_size_class *classes);
double fg_passing_share(const fg_size_class *c, double opening);

/* One class on its way down the deck.  Lanes hold all classes side by side: gold, then
 * magnetite, then quartz. */
typedef struct fg_lane {
  fg_stuff stuff;
  fg_size_class sizes;
  fg_grain grain;
  double size_m;
  double passing;
  double settling_m_s;
  double sinking_m_s[2]; /* open, quiet */
  double lift_m_s[2];    /* at which the air carries it off the surface */
  double settled[2];     /* share that bubbles do not mix through the bed */
  double stay;           /* share that stays in a pocket */
  double creep_m_s;      /* how fast it sinks into a pocket full of black sand */
  double skin_m;         /* how deep it must sink to be held there */
  double flow_kg_s;      /* mass flow of what is fine enough for the screen */
  double release_1_s;    /* rate at which a pocket loses it */
} fg_lane;

/* Lanes of one stuff and the march they share. */
typedef struct fg_lane_group {
  size_t first, count; /* in fg_capture.lane */
  fg_march *march;
} fg_lane_group;

struct fg_capture;
struct fg_catch;

/* Called after each step of time of a filling deck, first for all steps of the black sand,
 * then for all of the gold: what the pockets hold by then (share x s) and capture->fill. */
typedef void (*fg_capture_watch)(const struct fg_capture *capture, fg_stuff stuff, size_t step,
                                 const struct fg_catch *result, void *context);

typedef struct fg_capture {
  const fg_scenario *scenario;
  const fg_machine *machine;
  size_t lanes;
  fg_lane *lane;
  fg_lane_group group[FG_STUFF_COUNT];
  size_t riffles;
  double *freed;          /* [riffle][lane] share that comes loose in this pitch */
  double *stuck;          /* [lane] never comes loose, clods and screen included */
  double pocket_kg;       /* heavy sand that fills one pocket */
  double standing;        /* share of what comes into a pocket that stands there */
  double fill_error;      /* of a pocket, left in each step */
  size_t times;           /* steps over the cleaning interval */
  const double *moment_s; /* [times] ends of the steps; NULL: even steps over the interval */
  fg_capture_watch watch; /* NULL: nobody watches */
  void *watch_context;
  double *open_time;           /* [step][riffle] part of the step before the pocket was full */
  double *open_share;          /* [step][riffle] mean of 1 - F^2 as the pockets fill */
  double fill[FG_RIFFLES_MAX]; /* at cleaning */
} fg_capture;

/* The sand of a full pocket: grains of the black sand's median size, under the moving bed, that
 * creep with closure.pocket_creep of the bed's shear at a shake of 1 g or more, and less below
 * (model; without shake none: a bed at rest under a flow creeps ever less with depth, Komatsu et
 * al., Phys. Rev. Lett. 86:1757, 2001, citation from memory). */
typedef struct fg_pocket_sand {
  fg_sinking sinking;
  fg_strip strip;
} fg_pocket_sand;

fg_status fg_pocket_sand_describe(const fg_scenario *scenario, const fg_machine *machine,
                                  fg_pocket_sand *sand);

/* How a pocket holds a lane whose grain is known: stay, creep and skin (two grains of the
 * pocket's sand, or its own size where that is more). */
fg_status fg_pocket_hold(const fg_scenario *scenario, const fg_machine *machine,
                         const fg_pocket_sand *sand, fg_lane *lane);

/* Fills lanes (room for FG_LANES_MAX) from scenario and machine, those of quartz if wanted. */
fg_status fg_lanes_fill(const fg_scenario *scenario, const fg_machine *machine, bool quartz,
                        fg_lane *lane, size_t *count);

/* What one way of running the pockets does to each lane: shares of what passes the screen. */
typedef struct fg_catch {
  double *held;  /* [riffle][lane] */
  double *over;  /* [lane] over the tail */
  double *blown; /* [lane] */
} fg_catch;

typedef enum fg_pockets {
  FG_POCKETS_IDEAL,  /* hold all that settles */
  FG_POCKETS_EMPTY,  /* as just cleaned: lift counts, filling and release do not */
  FG_POCKETS_LEAKY,  /* lift and release, no filling: averaged over the interval */
  FG_POCKETS_FILLING /* all of it; quartz as in FG_POCKETS_EMPTY, for it gives way */
} fg_pockets;

fg_status fg_capture_new(const fg_scenario *scenario, const fg_machine *machine,
                         const fg_loss_options *options, fg_capture **capture);
void fg_capture_free(fg_capture *capture);

fg_status fg_catch_new(const fg_capture *capture, fg_catch *result);
void fg_catch_free(fg_catch *result);

/* Runs the deck; result from fg_catch_new(). */
fg_status fg_capture_run(fg_capture *capture, fg_pockets pockets, fg_catch *result);

/* The same for gold and what it needs to know of the black sand. */
fg_status fg_capture_run_gold(fg_capture *capture, fg_pockets pockets, fg_catch *result);

#endif
