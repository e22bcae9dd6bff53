/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/unit_names.h"

#include <stdio.h>
#include <string.h>

#include "core/faults.h"
#include "core/nearest.h"
#include "core/unit_factors.h"
#include "flourgold/quantity.h"

/* Names people use on this job, with the meaning they have here (see unit_factors.h;
 * the troy ounce has 480 grains). */
typedef struct unit_name {
  const char *name;
  const char *meaning; /* for udunits2 */
} unit_name;

static const unit_name ours[] = {
    {"in", FG_UNIT_TEXT(FG_INCH, "m")},
    {"inch", FG_UNIT_TEXT(FG_INCH, "m")},
    {"inches", FG_UNIT_TEXT(FG_INCH, "m")},
    {"ft", FG_UNIT_TEXT(FG_FOOT, "m")},
    {"foot", FG_UNIT_TEXT(FG_FOOT, "m")},
    {"feet", FG_UNIT_TEXT(FG_FOOT, "m")},
    {"yd", FG_UNIT_TEXT(FG_YARD, "m")},
    {"yds", FG_UNIT_TEXT(FG_YARD, "m")},
    {"yard", FG_UNIT_TEXT(FG_YARD, "m")},
    {"yards", FG_UNIT_TEXT(FG_YARD, "m")},
    {"mile", "1609.344 m"},
    {"miles", "1609.344 m"},
    {"m", "m"},
    {"mm", "0.001 m"},
    {"cm", "0.01 m"},
    {"um", "1e-6 m"},
    {"\xc2\xb5m", "1e-6 m"},
    {"\xce\xbcm", "1e-6 m"},
    {"micron", "1e-6 m"},
    {"microns", "1e-6 m"},
    {"lb", FG_UNIT_TEXT(FG_POUND, "kg")},
    {"lbs", FG_UNIT_TEXT(FG_POUND, "kg")},
    {"pound", FG_UNIT_TEXT(FG_POUND, "kg")},
    {"pounds", FG_UNIT_TEXT(FG_POUND, "kg")},
    {"ozt", "0.0311034768 kg"},
    {"dwt", "0.00155517384 kg"},
    {"kg", "kg"},
    {"g", "0.001 kg"},
    {"gram", "0.001 kg"},
    {"grams", "0.001 kg"},
    {"mg", "1e-6 kg"},
    {"t", "1000 kg"},
    {"tonne", "1000 kg"},
    {"tonnes", "1000 kg"},
    {"bucket", "0.01892705892 m3"},
    {"buckets", "0.01892705892 m3"},
    {"gal", FG_UNIT_TEXT(FG_GALLON, "m3")},
    {"gallon", FG_UNIT_TEXT(FG_GALLON, "m3")},
    {"gallons", FG_UNIT_TEXT(FG_GALLON, "m3")},
    {"qt", "0.000946352946 m3"},
    {"quart", "0.000946352946 m3"},
    {"quarts", "0.000946352946 m3"},
    {"l", "0.001 m3"},
    {"L", "0.001 m3"},
    {"litre", "0.001 m3"},
    {"litres", "0.001 m3"},
    {"liter", "0.001 m3"},
    {"liters", "0.001 m3"},
    {"s", "s"},
    {"sec", "s"},
    {"min", "60 s"},
    {"minute", "60 s"},
    {"minutes", "60 s"},
    {"h", "3600 s"},
    {"hr", "3600 s"},
    {"hrs", "3600 s"},
    {"hour", "3600 s"},
    {"hours", "3600 s"},
    {"day", "86400 s"},
    {"days", "86400 s"},
    {"cfm", "0.0004719474432 m3 s-1"},
    {"mph", FG_UNIT_TEXT(FG_MILE_PER_HOUR, "m s-1")},
    {"kmh", "0.277777777777777778 m s-1"},
    {"kph", "0.277777777777777778 m s-1"},
    {"rpm", "0.0166666666666666667 s-1"},
    {"rps", "s-1"},
    {"Hz", "s-1"},
    {"Pa", "Pa"},
    {"hPa", "100 Pa"},
    {"mb", "100 Pa"},
    {"mbar", "100 Pa"},
    {"psi", "6894.757293168361 Pa"},
    {"inH2O", FG_UNIT_TEXT(FG_INCH_WATER, "Pa")},
    {"inwg", FG_UNIT_TEXT(FG_INCH_WATER, "Pa")},
    {"mmH2O", "9.80665 Pa"},
    {"inHg", FG_UNIT_TEXT(FG_INCH_MERCURY, "Pa")},
    {"mmHg", "133.322387415 Pa"},
    {"cP", "0.001 Pa s"},
    {"deg", "0.0174532925199432958 rad"},
    {"degree", "0.0174532925199432958 rad"},
    {"degrees", "0.0174532925199432958 rad"},
    {"\xc2\xb0", "0.0174532925199432958 rad"},
    {"rad", "rad"},
    {"%", "0.01"},
    {"ppm", "1e-6"},
    {"ppb", "1e-9"},
};

enum { OURS = sizeof ours / sizeof ours[0] };

/* Names that mean too much, or nothing here. */
static const unit_name refused[] = {
    {"oz", "write ozt for troy ounces, or give it in lb or g"},
    {"ounce", "write ozt for troy ounces, or give it in lb or g"},
    {"ounces", "write ozt for troy ounces, or give it in lb or g"},
    {"gr", "write g for grams, or mg; a grain is 64.8 mg"},
    {"grain", "write g for grams, or mg; a grain is 64.8 mg"},
    {"grains", "write g for grams, or mg; a grain is 64.8 mg"},
    {"mil", "write in for inches (a mil is 0.001 in) or mm"},
    {"mils", "write in for inches (a mil is 0.001 in) or mm"},
    {"ton", "write t for 1000 kg, or lb (a short ton is 2000 lb)"},
    {"tons", "write t for 1000 kg, or lb (a short ton is 2000 lb)"},
    {"mesh", "mesh is accepted for grain and screen sizes only, alone, as in 60 mesh"},
    {"dBA", "noise is a plain number"},
    {"dB", "noise is a plain number"},
    {"at", "units are names joined by *, / or a space"},
    {"from", "units are names joined by *, / or a space"},
    {"since", "units are names joined by *, / or a space"},
    {"after", "units are names joined by *, / or a space"},
    {"ref", "units are names joined by *, / or a space"},
    {"lg", "units are names joined by *, / or a space"},
    {"ln", "units are names joined by *, / or a space"},
    {"log", "units are names joined by *, / or a space"},
    {"re", "units are names joined by *, / or a space"},
};

static ut_system *loaded;

ut_system *fg_unit_system_load(void) {
  if (!loaded) {
    ut_set_error_message_handler(ut_ignore);
    loaded = ut_read_xml(NULL);
  }
  return loaded;
}

void fg_units_free(void) {
  if (loaded)
    ut_free_system(loaded);
  loaded = NULL;
}

static const char *lookup(const unit_name *list, size_t count, const char *name) {
  for (size_t i = 0; i < count; ++i)
    if (strcmp(list[i].name, name) == 0)
      return list[i].meaning;
  return NULL;
}

bool fg_unit_is_ours(const char *name) { return lookup(ours, OURS, name) != NULL; }

ut_unit *fg_unit_constant(const char *spec) {
  ut_system *system = fg_unit_system_load();
  return !system ? NULL : ut_parse(system, spec, UT_ASCII);
}

bool fg_temperature_unit(const char *name, double *factor, double *shift) {
  static const struct {
    const char *name;
    double divisor, shift;
  } list[] = {
      {"K", 1.0, 0.0},
      {"kelvin", 1.0, 0.0},
      {"C", 1.0, 273.15},
      {"degC", 1.0, 273.15},
      {"deg C", 1.0, 273.15},
      {"\xc2\xb0\x43", 1.0, 273.15},
      {"celsius", 1.0, 273.15},
      {"Celsius", 1.0, 273.15},
      {"\xe2\x84\x83", 1.0, 273.15},
      {"F", 1.8, 459.67},
      {"degF", 1.8, 459.67},
      {"deg F", 1.8, 459.67},
      {"\xc2\xb0\x46", 1.8, 459.67},
      {"fahrenheit", 1.8, 459.67},
      {"Fahrenheit", 1.8, 459.67},
      {"\xe2\x84\x89", 1.8, 459.67},
  };
  for (size_t i = 0; i < sizeof list / sizeof list[0]; ++i) {
    if (strcmp(list[i].name, name) != 0)
      continue;
    *factor = 1.0 / list[i].divisor;
    *shift = list[i].shift;
    return true;
  }
  return false;
}

/* What udunits2 makes of a unit, in base units; "" when it cannot say. */
static void definition(const ut_unit *unit, char text[static 128]) {
  const int length = ut_format(unit, text, 127, UT_ASCII | UT_DEFINITION);
  text[length < 0 ? 0 : length < 127 ? length : 127] = '\0';
}

static void explain_unknown(const char *name, char *message, size_t size) {
  char q[FG_QUOTED_MAX];
  const char *names[OURS + 1];
  for (size_t i = 0; i < OURS; ++i)
    names[i] = ours[i].name;
  names[OURS] = NULL;
  const char *near = fg_nearest(name, names);
  if (near)
    snprintf(message, size, "unknown unit %s; perhaps %s", fg_quoted(name, q), near);
  else
    snprintf(message, size, "unknown unit %s", fg_quoted(name, q));
}

/* Units with an origin of their own (degC) or a logarithm cannot be multiplied. */
static bool plain_scale(const ut_unit *unit, bool *angle) {
  char text[128];
  definition(unit, text);
  *angle = strstr(text, "rad") != NULL;
  return text[0] != '\0' && !strchr(text, '@') && !strchr(text, '(');
}

ut_unit *fg_unit_named(const char *name, bool *angle, char *message, size_t size) {
  ut_system *system = fg_unit_system_load();
  if (!system) {
    snprintf(message, size, "the unit tables of udunits2 are missing; install libudunits2-data");
    return NULL;
  }
  const char *why = lookup(refused, sizeof refused / sizeof refused[0], name);
  if (why) {
    snprintf(message, size, "the unit \"%s\" cannot be used: %s", name, why);
    return NULL;
  }
  const char *meaning = lookup(ours, OURS, name);
  ut_unit *unit = ut_parse(system, meaning ? meaning : name, meaning ? UT_ASCII : UT_UTF8);
  if (!unit) {
    explain_unknown(name, message, size);
    return NULL;
  }
  if (!plain_scale(unit, angle)) {
    snprintf(message, size, "the unit \"%s\" has a zero of its own and cannot be used here", name);
    ut_free(unit);
    return NULL;
  }
  return unit;
}
