/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_MARCH_H
#define FLOURGOLD_MARCH_H

#include <stddef.h>

#include "flourgold/status.h"

/* The march of grain classes down the deck: advection with the bed's speed u(z), sinking w,
 * mixing D, what the air lifts off the surface, and at the cloth the settling
 * flux held with a trap efficiency while the rest goes on in the lowest layer:
 *   u(z) dc/dx = d/dz (w c + D dc/dz).
 * Finite volumes over the depth with exponentially fitted fluxes (Scharfetter & Gummel 1969;
 * exact for the steady profile at any cell), half-cell fitted at the cloth; backward Euler
 * along the deck, positive at any step.  One tridiagonal system a strip kind and class,
 * eliminated from the top down so that the trap enters the last pivot only; classes lie side
 * by side so that the compiler works on several at once.  Mass balances to round-off. */

enum { FG_STRIP_OPEN = 0, FG_STRIP_QUIET = 1, FG_STRIP_KINDS = 2 };

typedef struct fg_march_setup {
  size_t classes;
  size_t cells;                    /* layers over the depth, >= 2 */
  size_t steps[FG_STRIP_KINDS];    /* along each strip; 0 for an absent strip */
  double length_m[FG_STRIP_KINDS]; /* of the strip in one pitch */
  double depth_m;
  const double *speed_m_s;                   /* [cells], mean downslope speed of each layer, > 0 */
  const double *sinking_m_s[FG_STRIP_KINDS]; /* [classes], positive down */
  const double *mixing_m2_s;                 /* [FG_STRIP_KINDS] */
  const double *lift_m_s[FG_STRIP_KINDS]; /* [classes], at which grains at the surface are carried
                                             off, >= 0; NULL: none */
  const double *settled[FG_STRIP_KINDS];  /* [classes] 0-1: share of the settling flux that comes to
                                             the pocket, the rest is mixed in again; NULL: 1 */
  const double *creep_m_s; /* [classes], how fast a grain on a full pocket sinks into it; NULL: 0 */
  const double *skin_m; /* [classes], how deep it must sink to be held, > 0; NULL with creep_m_s */
} fg_march_setup;

typedef struct fg_march fg_march;

/* FG_EDOMAIN on a setup that makes no sense; FG_EMEMORY. */
fg_status fg_march_new(const fg_march_setup *setup, fg_march **march);
void fg_march_free(fg_march *march);

/* Starts at the head with each class well mixed; `inflow`[classes] is its flux (any unit, for
 * instance shares of the feed); NULL: 1 each. */
void fg_march_begin(fg_march *march, const double *inflow);

/* Adds flux: spread evenly with the flow, or in the lowest layer. */
void fg_march_add_mixed(fg_march *march, const double *flux);
void fg_march_add_low(fg_march *march, const double *flux);

/* What a pocket does with the grains that reach it, by class. */
typedef struct fg_march_pocket {
  const double *trap;   /* [classes] 0-1: share of the settling flux that stays */
  const double *closed; /* [classes] 0-1: share of the pocket that is full and takes grains in by
                           creep alone; NULL: none */
} fg_march_pocket;

/* One pitch, the open strip then the quiet one.  Adds what was trapped and blown off to the two
 * arrays (either may be NULL).
 * A full pocket takes in at creep/skin those grains that lie within the skin above it: a grain
 * that lies there for a whole pitch is held with 1 - exp(-creep t/skin), t its time on the pitch.
 */
void fg_march_pitch(fg_march *march, const fg_march_pocket *pocket, double *trapped, double *blown);

/* Keeps the state at this point of the way, or goes back to it, so that one pitch can be tried
 * with several traps.  What the tries added to the caller's arrays is the caller's to undo. */
void fg_march_keep(fg_march *march);
void fg_march_back(fg_march *march);

/* Exchanges the state with the one kept; mixes the two: `part` (0-1) of the state, the rest of
 * the one kept.  For a pitch that changes while a stretch of time goes by. */
void fg_march_swap(fg_march *march);
void fg_march_blend(fg_march *march, double part);

/* Flux still under way, per class. */
void fg_march_remaining(const fg_march *march, double *flux);

/* Concentration of a class in each layer, as flux over bed flux (1: as at the head for an
 * inflow of 1). */
void fg_march_profile(const fg_march *march, size_t class_index, double *concentration);

/* After fg_march_begin() and each step of a pitch, `watch` is called with the distance from
 * the head; for pictures.  NULL stops it. */
typedef void (*fg_march_watch)(const fg_march *march, double x_m, void *context);
void fg_march_observe(fg_march *march, fg_march_watch watch, void *context);

#endif
