/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scenario/differs.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "flourgold/settings.h"
#include "scenario/settings_table.h"

static bool other_number(double a, double b) { return isnan(a) ? !isnan(b) : !(a == b); }

static bool other_classes(const fg_scenario *a, const fg_scenario *b) {
  bool other = a->gold.class_count != b->gold.class_count;
  for (size_t i = 0; !other && i < a->gold.class_count; ++i) {
    const fg_size_class *p = &a->gold.classes[i], *q = &b->gold.classes[i];
    other = other_number(p->lower_m, q->lower_m) || other_number(p->upper_m, q->upper_m) ||
            other_number(p->share, q->share);
  }
  return other;
}

static bool other_curve(const fg_scenario *a, const fg_scenario *b) {
  bool other = a->blower.curve_count != b->blower.curve_count;
  for (size_t i = 0; !other && i < a->blower.curve_count; ++i)
    other = other_number(a->blower.curve[i].volume_m3_s, b->blower.curve[i].volume_m3_s) ||
            other_number(a->blower.curve[i].pressure_pa, b->blower.curve[i].pressure_pa);
  return other;
}

static bool other_sieves(const fg_scenario *a, const fg_scenario *b) {
  bool other = a->ground.sieve_count != b->ground.sieve_count;
  for (size_t i = 0; !other && i < a->ground.sieve_count; ++i)
    other = other_number(a->ground.sieves[i].opening_m, b->ground.sieves[i].opening_m) ||
            other_number(a->ground.sieves[i].share, b->ground.sieves[i].share);
  return other;
}

static bool other_value(const fg_scenario *a, const fg_scenario *b, const fg_setting *setting) {
  switch (setting->type) {
  case FG_T_TEXT:
    return strcmp(fg_setting_field(setting, a), fg_setting_field(setting, b)) != 0;
  case FG_T_CLASSES:
    return other_classes(a, b);
  case FG_T_CURVE:
    return other_curve(a, b);
  case FG_T_SIEVES:
    return other_sieves(a, b);
  default:
    return other_number(fg_setting_value(setting, a), fg_setting_value(setting, b));
  }
}

bool fg_setting_differs(const fg_scenario *a, const fg_scenario *b, int row) {
  if (a->origin[row] == FG_FROM_DERIVED && b->origin[row] == FG_FROM_DERIVED)
    return false;
  return fg_setting_given(a, row) != fg_setting_given(b, row) ||
         other_number(a->error_of[row], b->error_of[row]) || other_value(a, b, &fg_settings[row]);
}
