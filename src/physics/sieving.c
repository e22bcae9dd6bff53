/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "flourgold/air.h"
#include "physics/laws.h"

/* Schlick et al., J. Fluid Mech. 765:632, 2015 (constant 0.26: value from memory), fitted for
 * size ratios up to 3 and held there beyond. */
static double schlick(const fg_sieving_case *c) {
  return c->constant * c->total_1_s * c->grain_m * fmin(log(c->bed_m / c->grain_m), log(3.0));
}

/* Trewhela, Ancey & Gray, J. Fluid Mech. 916:A55, 2021, a single small grain between large
 * ones (constants from memory), measured up to a size ratio of 4.17 and held there beyond.
 * It was measured without air: the whole overburden stands for the pressure, since the law
 * has no limit where air carries the grains.  It sieves many times faster than the first law.
 * closure.sieving over its standard 0.26 scales it, so that the doubt carries over. */
static double trewhela(const fg_sieving_case *c) {
  const double b = 0.3744, compress = 0.2712, e = 2.0957, widest = 4.17;
  const double over = fmin(c->bed_m / c->grain_m, widest) - 1.0;
  const double weight = c->bed_kg_m3 * FG_GRAVITY * c->bed_m;
  return c->constant / 0.26 * b * weight * c->total_1_s * c->bed_m /
         (compress * weight + c->overburden_pa) * (over + e * over * over);
}

/* The second law has the lesser chance: it was measured without air and far below the shear rates
 * of a tray (model). */
const fg_sieving_law fg_sieving_laws[FG_SIEVING_COUNT] = {
    {"schlick", schlick, 0.75, "Schlick et al., J. Fluid Mech. 765:632, 2015"},
    {"trewhela", trewhela, 0.25, "Trewhela, Ancey & Gray, J. Fluid Mech. 916:A55, 2021"},
};

const char *const fg_sieving_law_names[FG_SIEVING_COUNT + 1] = {"schlick", "trewhela", NULL};
