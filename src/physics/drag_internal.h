/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DRAG_INTERNAL_H
#define FLOURGOLD_DRAG_INTERNAL_H

#include "flourgold/drag.h"

/* One per law; contracts as fg_drag_function, ranges in the table of drag.c. */
double fg_drag_haider_levenspiel(double reynolds, const fg_shape *shape, double density_ratio);
double fg_drag_ganser(double reynolds, const fg_shape *shape, double density_ratio);
double fg_drag_bagheri_bonadonna(double reynolds, const fg_shape *shape, double density_ratio);
double fg_drag_hoelzer_sommerfeld(double reynolds, const fg_shape *shape, double density_ratio);
double fg_drag_brown_lawler(double reynolds, const fg_shape *shape, double density_ratio);

#endif
