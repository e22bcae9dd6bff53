/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CORE_UNIT_FACTORS_H
#define FLOURGOLD_CORE_UNIT_FACTORS_H

/* Customary units in SI, for the names people write, the units that are shown and the endings of
 * data names.  Exact by definition (international yard and pound of 1959, US liquid gallon of
 * 231 in3), except the two columns of liquid: the conventional values of NIST SP 811 (2008),
 * appendix B.8, "inch of water, conventional" (249.0889 Pa, one digit more here) and "inch of
 * mercury, conventional" (3386.389 Pa).  Plain numbers, so that FG_UNIT_TEXT() can spell them. */
#define FG_INCH 0.0254
#define FG_FOOT 0.3048
#define FG_YARD 0.9144
#define FG_YARD3 0.764554857984
#define FG_GALLON 0.003785411784
#define FG_POUND 0.45359237
#define FG_MILE_PER_HOUR 0.44704
#define FG_INCH_WATER 249.08891
#define FG_INCH_MERCURY 3386.389

#define FG_FOOT3 (FG_FOOT * FG_FOOT * FG_FOOT)
#define FG_DEGREE (3.14159265358979323846 / 180.0)

/* "0.0254 m" for udunits2. */
#define FG_UNIT_TEXT(factor, unit) FG_UNIT_TEXT_OF(factor) " " unit
#define FG_UNIT_TEXT_OF(factor) #factor

#endif
