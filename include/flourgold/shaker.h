/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SHAKER_H
#define FLOURGOLD_SHAKER_H

#ifdef __cplusplus
extern "C" {
#endif

/* A box that shakes from side to side. */
typedef struct fg_shake {
  double speed_hz;    /* turns of the rotor per second */
  double amplitude_m; /* half the stroke */
  double gamma;       /* X w^2/g */
} fg_shake;

#ifdef __cplusplus
}
#endif

#endif
