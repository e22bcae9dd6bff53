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
 * has no limit where air carries the grains.  It sieves many times faster than the first law. */
static double trewhela(const fg_sieving_case *c) {
  const double b = 0.3744, compress = 0.2712, e = 2.0957, widest = 4.17;
  const double over = fmin(c->bed_m / c->grain_m, widest) - 1.0;
  const double weight = c->bed_kg_m3 * FG_GRAVITY * c->bed_m;
  return b * weight * c->total_1_s * c->bed_m / (compress * weight + c->overburden_pa) *
         (over + e * over * over);
}

/* Fit to a grain-by-grain simulation (tests/grains) of gold spheres of 0.15 to 0.74 times the size
 * of the bed's grains, in ten states of slope, shake and air, good to 30 %; held beyond a size
 * ratio of 4.  Slow shear sieves with the rate, fast shear no faster than a grain falls its way. */
static double simulated(const fg_sieving_case *c) {
  const double rate = c->total_1_s * c->bed_m;
  const double fall = 0.16 * sqrt(FG_GRAVITY * c->bed_m);
  return 1.05 * log(fmin(c->bed_m / c->grain_m, 4.0)) * rate / (1.0 + rate / fall);
}

/* The first law is the careful end: what trays are known to lose of flour gold speaks for it, and
 * it has half of the chance.  The third alone knows these shear rates, but spheres only, without
 * dust in the pores or bubbles: a third of it.  The second was measured without air, far below
 * these rates, and sieves up to eighteen times faster than the simulation: the rest (model). */
const fg_sieving_law fg_sieving_laws[FG_SIEVING_COUNT] = {
    {"schlick", schlick, 0.5, "Schlick et al., J. Fluid Mech. 765:632, 2015"},
    {"trewhela", trewhela, 0.15, "Trewhela, Ancey & Gray, J. Fluid Mech. 916:A55, 2021"},
    {"simulated", simulated, 0.35, "fit to a grain-by-grain simulation, tests/grains"},
};

const char *const fg_sieving_law_names[FG_SIEVING_COUNT + 1] = {"schlick", "trewhela", "simulated",
                                                                NULL};
