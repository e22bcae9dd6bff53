/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DRAG_H
#define FLOURGOLD_DRAG_H

#include <stdbool.h>

#include "flourgold/grain.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Drag coefficient on the equal-volume sphere's cross-section: the force is
 * 1/2 rho v^2 Cd pi/4 dv^2 with Re = rho v dv/mu.  `density_ratio` is grain over
 * gas.  Each law lives in a file of its own, src/physics/drag_*.c. */
typedef double (*fg_drag_function)(double reynolds, const fg_shape *shape, double density_ratio);

typedef struct fg_drag_law {
  const char *name;
  fg_drag_function coefficient; /* checks no range */
  double least_sphericity;      /* refused below */
  double most_reynolds;         /* refused above */
  double chance; /* that it is drawn where the law is in doubt; 0: a choice by hand only */
  const char *title;
  const char *source;
} fg_drag_law;

enum {
  FG_DRAG_HAIDER_LEVENSPIEL = 0,
  FG_DRAG_GANSER,
  FG_DRAG_BAGHERI_BONADONNA,
  FG_DRAG_HOELZER_SOMMERFELD,
  FG_DRAG_BROWN_LAWLER,
  FG_DRAG_COUNT
};

/* What is known of a law, FG_DRAG_HAIDER_LEVENSPIEL and so on; NULL for a number that is none. */
const fg_drag_law *fg_drag_law_of(int law);

/* Coefficient (none has a unit) with its range checked: a law of the list, Reynolds number above 0
 * and up to the law's limit, sphericity from the law's least to 1, density_ratio above 0.
 * FG_EDOMAIN otherwise.  On flakes the laws differ from each other by a quarter. */
fg_status fg_drag_coefficient(int law, double reynolds, const fg_shape *shape, double density_ratio,
                              double *coefficient);

typedef struct fg_gas {
  double density_kg_m3;
  double viscosity_pa_s;
} fg_gas;

typedef struct fg_grain {
  double dv_m; /* equal-volume diameter */
  double density_kg_m3;
  fg_shape shape;
} fg_grain;

/* Force (N) of gas moving past a grain at a speed >= 0 (m/s), 0 below.  law: one of the list;
 * neither it nor the range of the law is checked. */
double fg_drag_force(int law, const fg_grain *grain, const fg_gas *gas, double speed_m_s);

/* Speed (m/s) at which the drag equals `force_n` (>= 0): bracketed root in log speed, to 13 digits.
 * FG_EDOMAIN: no such law, a grain flatter than the law takes or without size, a force below 0;
 * FG_ENOROOT: no speed gives that drag. */
fg_status fg_drag_speed(int law, const fg_grain *grain, const fg_gas *gas, double force_n,
                        double *speed_m_s);

#ifdef __cplusplus
}
#endif

#endif
