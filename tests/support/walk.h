/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_WALK_H
#define FG_WALK_H

#include <stddef.h>

#include <gsl/gsl_rng.h>

/* One grain at a time on its way down a deck: it goes with the bed at the speed of its height,
 * sinks, is stirred at random, and at the cloth and the surface it is pushed back or leaves.
 *
 * dz = -w dt + sqrt(2 D) dB, dx = u(z) dt.  A wall that takes the flux K c of the grains at it
 * keeps a grain with the chance 1 - exp(-(K/D) dL), dL being the pushing that holds the grain
 * inside (Skorokhod, Theory of Probability and its Applications 6:264, 1961; the partial
 * reflection of a Brownian path by its local time: Ito & McKean 1965, both cited from memory).
 * The pushing of a step is that of the lowest point of the Brownian bridge between its ends,
 * which is sampled exactly; so the length of a step only counts where speeds change over it. */

typedef struct walk_strip {
  double length_m;
  double sinking_m_s; /* w, positive down */
  double mixing_m2_s; /* D, > 0 */
  double lift_m_s;    /* K of the surface */
  double hold_m_s;    /* K of the cloth before an open pocket */
  double creep_m_s;   /* K of the cloth before a full one, at most hold_m_s */
} walk_strip;

/* A pocket: shares of the cloth's K that hold and creep; their sum is at most 1. */
typedef struct walk_pocket {
  double open, full;
} walk_pocket;

enum { WALK_LAYERS = 200 };

typedef struct walk_deck {
  double depth_m;
  double speed_m_s[WALK_LAYERS]; /* mean of each layer, from the cloth up */
  double lowest_m;               /* a grain nearer to the cloth goes along as one at this height */
  walk_strip strip[2];           /* the open one, then the quiet one; length 0: none */
} walk_deck;

typedef enum walk_fate { WALK_ON, WALK_HELD, WALK_BLOWN } walk_fate;

/* Downslope speed (m/s) at a height (m): straight between the middles of the layers, 0 at the
 * cloth. */
double walk_speed(const walk_deck *deck, double height_m);

/* Height (m) of a grain that comes onto the deck mixed into the bed: as often as bed flows there.
 */
double walk_mixed_height(const walk_deck *deck, gsl_rng *random);

/* One pitch, from *height_m, which WALK_ON leaves where the grain goes on. */
walk_fate walk_pitch(const walk_deck *deck, walk_pocket pocket, gsl_rng *random, double *height_m);

#endif
