/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/calc_formulas.h"

#define ROW(name) &fg_calc_of_##name,
const fg_calc *const fg_calcs[] = {FG_CALC_FORMULAS(ROW)};

const size_t fg_calcs_count = sizeof fg_calcs / sizeof fg_calcs[0];
