/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_CALC_FORMULAS_H
#define FG_CLI_CALC_FORMULAS_H

#include "cli/calc.h"

/* All formulas, in the order of their list; fg_calc_of_NAME stands in the file of its subject. */
/* clang-format off */
#define FG_CALC_FORMULAS(X) \
  X(air) X(drag) X(settle) X(grain) X(bed) X(fluidise) X(board) X(duct) X(blower) X(shake) \
  X(damp) X(charge) X(moisture) X(flake) X(jar) X(tube) X(sieves) X(poisson) X(binomial) \
  X(sequential) X(posterior) X(gy) X(grains_needed) X(noise_hours) X(silica_hours) X(et0) \
  X(evaporation)
/* clang-format on */

#define FG_CALC_DECLARED(name) extern const fg_calc fg_calc_of_##name;
FG_CALC_FORMULAS(FG_CALC_DECLARED)
#undef FG_CALC_DECLARED

#endif
