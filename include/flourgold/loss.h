/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_LOSS_H
#define FLOURGOLD_LOSS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/machine.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One run of the whole model: what each size class of gold, black sand and sand does on
 * the deck, and where what is lost goes. */

enum { FG_RIFFLES_MAX = 60 };

typedef enum fg_stuff { FG_GOLD = 0, FG_MAGNETITE, FG_QUARTZ, FG_STUFF_COUNT } fg_stuff;

typedef struct fg_class_loss {
  fg_stuff stuff;
  double lower_m, upper_m, size_m; /* sieves and their geometric mean */
  double share;        /* of this stuff's mass; NaN: not known (counted in a tray that cannot
                          hold it) */
  double passing;      /* part of the class that passes the screen */
  double settling_m_s; /* in still air of the day */
  double sinking_m_s;  /* through the moving bed of the open strip, down positive */
  /* Fates of what passes the screen (or would, were it not damp); they add to 1. */
  double kept;
  double stuck;                     /* in clods, or bound to damp grains */
  double blown_off;                 /* lifted out at the surface */
  double carried;                   /* ran over the riffles without settling */
  double shaken_out;                /* lifted or shaken out of a pocket again */
  double full;                      /* found the pockets full of heavy sand */
  double by_riffle[FG_RIFFLES_MAX]; /* kept behind each riffle; adds to kept */
} fg_class_loss;

typedef struct fg_loss {
  fg_machine machine;
  bool fresh; /* just cleaned; else averaged over the cleaning interval */
  size_t gold_count;
  fg_class_loss *gold;
  size_t mineral_count;
  fg_class_loss *minerals;
  size_t riffles;
  double fill[FG_RIFFLES_MAX];   /* share of each pocket full of heavy sand at cleaning */
  double water_head, water_tail; /* moisture by dry mass, where the feed enters and leaves */
  /* Totals over the gold that passes the screen and whose share is known. */
  double kept, stuck, blown_off, carried, shaken_out, full;
  double screened_off;         /* share of all gold that is coarser than the screen */
  double unknown_classes;      /* how many classes are not known */
  double kept_kg_s, lost_kg_s; /* while running */
  double feed_kg_s, feed_m3_s; /* loose, onto the screen */
  double in_place_m3_s;
  double deck_feed_kg_s;
  double concentrate_kg_s; /* what the riffles hold at cleaning, per running time */
  double half_kept_m;      /* gold size kept by half; NaN: none in the range */
} fg_loss;

typedef struct fg_loss_options {
  bool fresh;
  bool kept_only; /* at half the cost: only what is kept of gold and whether the deck stalls;
                     the other fates, black sand, sand and the margin stay empty or NaN */
  size_t cells;   /* layers over the depth; 0: default */
  size_t steps;   /* along one pitch; 0: default */
  size_t times;   /* over the cleaning interval; 0: default */
} fg_loss_options;

/* Runs the model on a resolved scenario.  The fates of a class add to 1 within 1e-9; a finer grid
 * moves no class by more than half a percentage point.  FG_ESTALL when the deck stalls:
 * loss->machine is filled, the rest is empty.  Other failures as fg_machine_solve(), and
 * FG_EMEMORY.  options NULL: defaults.  Free with fg_loss_free() after FG_OK and FG_ESTALL alike.
 * May be called from several threads at a time.  What it rests on, and how far to trust it: README.
 */
fg_status fg_loss_run(const fg_scenario *scenario, const fg_loss_options *options, fg_loss *loss);

/* Frees what a run filled and empties its lists; a second call does nothing. */
void fg_loss_free(fg_loss *loss);

#ifdef __cplusplus
}
#endif

#endif
