/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BAND_H
#define FLOURGOLD_BAND_H

#ifdef __cplusplus
extern "C" {
#endif

/* What an ensemble says of a figure: one member in ten, by weight, lies below low, half below mid,
 * nine in ten below high (other shares where it is said).  NaN: unknown. */
typedef struct fg_band {
  double low, mid, high;
} fg_band;

/* A figure of the nominal run, and its band. */
typedef struct fg_banded {
  double nominal;
  fg_band band;
} fg_banded;

#ifdef __cplusplus
}
#endif

#endif
