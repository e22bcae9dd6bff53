/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_LAWS_H
#define FLOURGOLD_LAWS_H

#include "flourgold/drag.h"
#include "flourgold/sinking.h"

/* The laws that a scenario chooses from, as tables. */

extern const fg_drag_law fg_drag_laws[FG_DRAG_COUNT];
extern const char *const fg_drag_law_names[FG_DRAG_COUNT + 1];

/* How fast small grains slip down between larger ones (m/s), without air. */
typedef struct fg_sieving_case {
  double total_1_s;     /* shear rate */
  double grain_m;       /* equal-volume diameter of the small grain */
  double bed_m;         /* grain size of the bed, larger */
  double overburden_pa; /* weight of the bed above, air or no air */
  double bed_kg_m3;     /* density of the bed's grains */
  double constant;      /* closure.sieving, of the first law */
} fg_sieving_case;

typedef struct fg_sieving_law {
  const char *name;
  double (*speed)(const fg_sieving_case *c);
  double chance; /* that it is drawn where the law is in doubt; 0: a choice by hand only */
  const char *source;
} fg_sieving_law;

enum { FG_SIEVING_SCHLICK = 0, FG_SIEVING_TREWHELA, FG_SIEVING_SIMULATED, FG_SIEVING_COUNT };
extern const fg_sieving_law fg_sieving_laws[FG_SIEVING_COUNT];
extern const char *const fg_sieving_law_names[FG_SIEVING_COUNT + 1];

#endif
