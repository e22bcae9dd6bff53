/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of formulas; each stands in the file of its subject. */
#include "cli/calc_formulas.h"

const fg_calc *const fg_calcs[] = {
    &fg_calc_of_air,          &fg_calc_of_drag,          &fg_calc_of_settle,
    &fg_calc_of_grain,        &fg_calc_of_bed,           &fg_calc_of_fluidise,
    &fg_calc_of_board,        &fg_calc_of_duct,          &fg_calc_of_blower,
    &fg_calc_of_shake,        &fg_calc_of_damp,          &fg_calc_of_charge,
    &fg_calc_of_moisture,     &fg_calc_of_flake,         &fg_calc_of_jar,
    &fg_calc_of_tube,         &fg_calc_of_sieves,        &fg_calc_of_poisson,
    &fg_calc_of_binomial,     &fg_calc_of_sequential,    &fg_calc_of_posterior,
    &fg_calc_of_gy,           &fg_calc_of_grains_needed, &fg_calc_of_noise_hours,
    &fg_calc_of_silica_hours, &fg_calc_of_et0,           &fg_calc_of_evaporation,
};

const size_t fg_calcs_count = sizeof fg_calcs / sizeof fg_calcs[0];
