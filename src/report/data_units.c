/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The units that data names carry in their endings. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/unit_table.h"
#include "report/report_internal.h"

static const fg_data_unit plain = {.suffix = "", .factor = 1.0, .unit = ""};

/* Scales are filled in at the first use. */
static fg_data_unit units[] = {
    {.suffix = "_pa_s", .unit = "Pa s"},     {.suffix = "_pa", .unit = "Pa"},
    {.suffix = "_kpa", .unit = "kPa"},       {.suffix = "_hpa", .unit = "hPa"},
    {.suffix = "_kg_m3", .unit = "kg/m3"},   {.suffix = "_g_cm3", .unit = "g/cm3"},
    {.suffix = "_kg_m2", .unit = "kg/m2"},   {.suffix = "_kg_m", .unit = "kg m"},
    {.suffix = "_g_m3", .unit = "g/m3"},     {.suffix = "_g_yd3", .unit = "g/yd3"},
    {.suffix = "_m3_s", .unit = "m3/s"},     {.suffix = "_m3_min", .unit = "m3/min"},
    {.suffix = "_m3_h", .unit = "m3/h"},     {.suffix = "_yd3_h", .unit = "yd3/h"},
    {.suffix = "_ft3_h", .unit = "ft3/h"},   {.suffix = "_l_h", .unit = "l/h"},
    {.suffix = "_gal_h", .unit = "gal/h"},   {.suffix = "_cfm", .unit = "cfm"},
    {.suffix = "_m_s", .unit = "m/s"},       {.suffix = "_m_s2", .unit = "m/s2"},
    {.suffix = "_1_s", .unit = "1/s"},       {.suffix = "_1_m", .unit = "1/m"},
    {.suffix = "_kg_s", .unit = "kg/s"},     {.suffix = "_kg_h", .unit = "kg/h"},
    {.suffix = "_lb_min", .unit = "lb/min"}, {.suffix = "_g_h", .unit = "g/h"},
    {.suffix = "_mg_h", .unit = "mg/h"},     {.suffix = "_c_m2", .unit = "C/m2"},
    {.suffix = "_rpm", .unit = "rpm"},       {.suffix = "_hz", .unit = "Hz"},
    {.suffix = "_m3", .unit = "m3"},         {.suffix = "_m2", .unit = "m2"},
    {.suffix = "_m", .unit = "m"},           {.suffix = "_mm", .unit = "mm"},
    {.suffix = "_um", .unit = "um"},         {.suffix = "_s", .unit = "s"},
    {.suffix = "_min", .unit = "min"},       {.suffix = "_minutes", .unit = "min"},
    {.suffix = "_h", .unit = "h"},           {.suffix = "_deg", .unit = "deg"},
    {.suffix = "_rad", .unit = "rad"},       {.suffix = "_percent", .unit = "%"},
    {.suffix = "_kg", .unit = "kg"},         {.suffix = "_g", .unit = "g"},
    {.suffix = "_mg", .unit = "mg"},         {.suffix = "_k", .unit = "K"},
    {.suffix = "_c", .unit = "C"},           {.suffix = "_l", .unit = "l"},
    {.suffix = "_dba", .unit = "dBA"},       {.suffix = "_w", .unit = "W"},
    {.suffix = "_inh2o", .unit = "inH2O"},   {.suffix = "_ft_s", .unit = "ft/s"},
    {.suffix = "_ft", .unit = "ft"},         {.suffix = "_in", .unit = "in"},
    {.suffix = "_mm_day", .unit = "mm/day"}, {.suffix = "_mj_m2_day", .unit = "MJ/m2/day"},
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
  size_t length = base_length(name), longest = 0;
  fg_data_unit *best = NULL;
  for (size_t i = 0; i < sizeof units / sizeof units[0]; ++i) {
    size_t ending = strlen(units[i].suffix);
    if (ending > longest && length > ending &&
        strncmp(name + length - ending, units[i].suffix, ending) == 0) {
      best = &units[i];
      longest = ending;
    }
  }
  if (!best)
    return &plain;
  if (best->factor == 0.0) {
    const fg_scale scale = fg_unit_shown(best->unit);
    best->factor = scale.factor;
    best->offset = scale.offset;
    best->customary = scale.customary;
  }
  return best;
}

double fg_data_value(const char *name, double si) {
  const fg_data_unit *unit = fg_data_unit_of(name);
  return si * unit->factor + unit->offset;
}

const char *fg_shortest_real(double value, char *buffer, size_t size) {
  for (int digits = 15; digits <= 17; ++digits) {
    (void)snprintf(buffer, size, "%.*g", digits, value);
    if (strtod(buffer, NULL) == value)
      break;
  }
  if (!strpbrk(buffer, ".e")) {
    size_t used = strlen(buffer);
    (void)snprintf(buffer + used, size - used, ".0");
  }
  return buffer;
}
