/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_CALC_FORMULAS_H
#define FG_CLI_CALC_FORMULAS_H

#include "cli/calc.h"

extern const fg_calc fg_calc_of_air;
extern const fg_calc fg_calc_of_drag;
extern const fg_calc fg_calc_of_settle;
extern const fg_calc fg_calc_of_grain;
extern const fg_calc fg_calc_of_bed;
extern const fg_calc fg_calc_of_fluidise;
extern const fg_calc fg_calc_of_board;
extern const fg_calc fg_calc_of_duct;
extern const fg_calc fg_calc_of_blower;
extern const fg_calc fg_calc_of_shake;
extern const fg_calc fg_calc_of_damp;
extern const fg_calc fg_calc_of_charge;
extern const fg_calc fg_calc_of_moisture;
extern const fg_calc fg_calc_of_flake;
extern const fg_calc fg_calc_of_jar;
extern const fg_calc fg_calc_of_tube;
extern const fg_calc fg_calc_of_sieves;
extern const fg_calc fg_calc_of_poisson;
extern const fg_calc fg_calc_of_binomial;
extern const fg_calc fg_calc_of_sequential;
extern const fg_calc fg_calc_of_posterior;
extern const fg_calc fg_calc_of_gy;
extern const fg_calc fg_calc_of_grains_needed;
extern const fg_calc fg_calc_of_noise_hours;
extern const fg_calc fg_calc_of_silica_hours;
extern const fg_calc fg_calc_of_et0;
extern const fg_calc fg_calc_of_evaporation;

#endif
