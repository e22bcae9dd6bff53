/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/drag_internal.h"

/* Bagheri & Bonadonna, Powder Technology 301:526, 2016, random orientation: Stokes and
 * Newton shape factors from flatness f, elongation 1 and dv^3/(L I S), and the density
 * ratio grain over gas. */
double fg_drag_bagheri_bonadonna(double reynolds, const fg_shape *shape, double density_ratio) {
  const double f = shape->flatness, wide = shape->broad_ratio;
  const double filling = 1.0 / (wide * wide * wide * f);
  const double form_s = f * filling, form_n = fmin(1.0, f * f * filling);
  const double k_s = 0.5 * (cbrt(form_s) + 1.0 / cbrt(form_s));
  const double log_r = log10(density_ratio);
  const double a = 0.45 + 10.0 / (exp(2.5 * log_r) + 30.0);
  const double b = 1.0 - 37.0 / (exp(3.0 * log_r) + 100.0);
  const double k_n = pow(10.0, a * pow(-log10(form_n), b));
  const double scaled = reynolds * k_n / k_s;
  return 24.0 * k_s / reynolds * (1.0 + 0.125 * pow(scaled, 2.0 / 3.0)) +
         0.46 * k_n / (1.0 + 5330.0 / scaled);
}
