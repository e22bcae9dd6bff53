/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_JETSAM_H
#define FLOURGOLD_JETSAM_H

/* Heavy grains (jetsam) in a bed of lighter ones (flotsam) that air makes bubble: they lie at the
 * bottom or are mixed all through.  Source: Nienow, Rowe & Cheung, Powder Technol. 20:89, 1978
 * (form and constants from memory), for little jetsam, so without its term in their share. */

/* Air velocity at which half is mixed over that which just floats the bed:
 * (U_P/U_F)^1.2 + 0.9 (density ratio - 1)^1.1 (size ratio)^0.7, with U_P the velocity that floats
 * whichever of the two is harder to float, sizes times sphericities, the density ratio >= 1. */
double fg_jetsam_takeover(double floating_ratio, double density_ratio, double size_ratio);

/* Share mixed, 0-1: M = 1/(1 + exp(-Z)), Z = (U - U_TO)/(U - U_F) exp(U/U_TO), with the air as a
 * multiple of U_F and `takeover` from above; 0 in a bed that does not float. */
double fg_jetsam_mixed(double air_ratio, double takeover);

#endif
