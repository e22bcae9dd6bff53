/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The units that data names carry in their endings. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/unit_factors.h"
#include "report/report_internal.h"

static const fg_data_unit plain = {"", 1.0, 0.0, "", false};

static const fg_data_unit units[] = {
    {"_pa_s", 1.0, 0.0, "Pa s", false},
    {"_pa", 1.0, 0.0, "Pa", false},
    {"_kpa", 1e-3, 0.0, "kPa", false},
    {"_hpa", 1e-2, 0.0, "hPa", false},
    {"_kg_m3", 1.0, 0.0, "kg/m3", false},
    {"_g_cm3", 1e-3, 0.0, "g/cm3", false},
    {"_kg_m2", 1.0, 0.0, "kg/m2", false},
    {"_kg_m", 1.0, 0.0, "kg m", false},
    {"_g_m3", 1e3, 0.0, "g/m3", false},
    {"_g_yd3", 1e3 * FG_YARD3, 0.0, "g/yd3", true},
    {"_m3_s", 1.0, 0.0, "m3/s", false},
    {"_m3_min", 60.0, 0.0, "m3/min", false},
    {"_m3_h", 3600.0, 0.0, "m3/h", false},
    {"_yd3_h", 3600.0 / FG_YARD3, 0.0, "yd3/h", true},
    {"_ft3_h", 3600.0 / FG_FOOT3, 0.0, "ft3/h", true},
    {"_l_h", 3.6e6, 0.0, "l/h", false},
    {"_gal_h", 3600.0 / FG_GALLON, 0.0, "gal/h", true},
    {"_cfm", 60.0 / FG_FOOT3, 0.0, "cfm", true},
    {"_m_s", 1.0, 0.0, "m/s", false},
    {"_m_s2", 1.0, 0.0, "m/s2", false},
    {"_1_s", 1.0, 0.0, "1/s", false},
    {"_1_m", 1.0, 0.0, "1/m", false},
    {"_kg_s", 1.0, 0.0, "kg/s", false},
    {"_kg_h", 3600.0, 0.0, "kg/h", false},
    {"_lb_min", 60.0 / FG_POUND, 0.0, "lb/min", true},
    {"_g_h", 3.6e6, 0.0, "g/h", false},
    {"_mg_h", 3.6e9, 0.0, "mg/h", false},
    {"_c_m2", 1.0, 0.0, "C/m2", false},
    {"_rpm", 60.0, 0.0, "rpm", false},
    {"_hz", 1.0, 0.0, "Hz", false},
    {"_m3", 1.0, 0.0, "m3", false},
    {"_m2", 1.0, 0.0, "m2", false},
    {"_m", 1.0, 0.0, "m", false},
    {"_mm", 1e3, 0.0, "mm", false},
    {"_um", 1e6, 0.0, "um", false},
    {"_s", 1.0, 0.0, "s", false},
    {"_min", 1.0 / 60.0, 0.0, "min", false},
    {"_minutes", 1.0 / 60.0, 0.0, "min", false},
    {"_h", 1.0 / 3600.0, 0.0, "h", false},
    {"_deg", 1.0 / FG_DEGREE, 0.0, "deg", false},
    {"_rad", 1.0, 0.0, "rad", false},
    {"_percent", 100.0, 0.0, "%", false},
    {"_kg", 1.0, 0.0, "kg", false},
    {"_g", 1e3, 0.0, "g", false},
    {"_mg", 1e6, 0.0, "mg", false},
    {"_k", 1.0, 0.0, "K", false},
    {"_c", 1.0, -273.15, "C", false},
    {"_l", 1e3, 0.0, "l", false},
    {"_dba", 1.0, 0.0, "dBA", false},
    {"_w", 1.0, 0.0, "W", false},
    {"_inh2o", 1.0 / FG_INCH_WATER, 0.0, "inH2O", true},
    {"_ft_s", 1.0 / FG_FOOT, 0.0, "ft/s", true},
    {"_ft", 1.0 / FG_FOOT, 0.0, "ft", true},
    {"_in", 1.0 / FG_INCH, 0.0, "in", true},
    {"_mm_day", 8.64e7, 0.0, "mm/day", false},
    {"_mj_m2_day", 0.0864, 0.0, "MJ/m2/day", false},
};

/* Length of the name without a band's or a list column's ending. */
static size_t base_length(const char *name) {
  static const char *const bands[] = {"_low", "_mid", "_high"};
  size_t length = strlen(name);
  for (size_t i = 0; i < sizeof bands / sizeof bands[0]; ++i) {
    size_t ending = strlen(bands[i]);
    if (length > ending && strcmp(name + length - ending, bands[i]) == 0)
      return length - ending;
  }
  size_t end = length;
  while (end > 0 && isdigit((unsigned char)name[end - 1]))
    --end;
  return end > 1 && end < length && name[end - 1] == '_' ? end - 1 : length;
}

const fg_data_unit *fg_data_unit_of(const char *name) {
  if (!name || strchr(name, '.'))
    return &plain;
  size_t length = base_length(name);
  const fg_data_unit *best = &plain;
  for (size_t i = 0; i < sizeof units / sizeof units[0]; ++i) {
    size_t ending = strlen(units[i].suffix);
    if (ending > strlen(best->suffix) && length > ending &&
        strncmp(name + length - ending, units[i].suffix, ending) == 0)
      best = &units[i];
  }
  return best;
}

double fg_data_value(const char *name, double si) {
  const fg_data_unit *unit = fg_data_unit_of(name);
  return si * unit->factor + unit->offset;
}

const char *fg_shortest_real(double value, char *buffer, size_t size) {
  for (int digits = 15; digits <= 17; ++digits) {
    snprintf(buffer, size, "%.*g", digits, value);
    if (strtod(buffer, NULL) == value)
      break;
  }
  if (!strpbrk(buffer, ".e")) {
    size_t used = strlen(buffer);
    snprintf(buffer + used, size - used, ".0");
  }
  return buffer;
}
