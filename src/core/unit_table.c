/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/unit_table.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

/* From this length on a metric name is a word, not a symbol. */
enum { WORD_LEAST = 5 };

#define METRIC(si, factor, ...)                                                                    \
  { {__VA_ARGS__}, si, factor, 0.0, FG_UNIT_METRIC }
#define CUSTOMARY(si, factor, ...)                                                                 \
  { {__VA_ARGS__}, si, factor, 0.0, FG_UNIT_CUSTOMARY }
#define TEMPERATURE(kind, divisor, shift, ...)                                                     \
  { {__VA_ARGS__}, "K", 1.0 / (divisor), shift, kind }
#define REFUSED(why, ...)                                                                          \
  { {__VA_ARGS__}, why, 1.0, 0.0, FG_UNIT_REFUSED }

/* Exact by definition (international yard and pound of 1959, US liquid gallon of 231 in3, troy
 * ounce of 480 grains), except the columns of liquid: the conventional values of NIST SP 811
 * (2008), appendix B.8, "inch of water, conventional" (249.0889 Pa, one digit more here), "inch of
 * mercury, conventional" (3386.389 Pa) and "millimeter of mercury, conventional" (133.3224 Pa). */
const fg_unit_row fg_unit_table[] = {
    METRIC("m", 1.0, "m"),
    METRIC("m", 1e-3, "mm"),
    METRIC("m", 0.01, "cm"),
    METRIC("m", 1000.0, "km"),
    METRIC("m", 1e-6, "um", "\xc2\xb5m", "\xce\xbcm", "micron", "microns"),
    CUSTOMARY("m", 0.0254, "in", "inch", "inches", "\"", "\xe2\x80\xb3", "\xe2\x80\x9d", "''"),
    CUSTOMARY("m", 0.3048, "ft", "foot", "feet", "'", "\xe2\x80\xb2", "\xe2\x80\x99"),
    CUSTOMARY("m", 0.9144, "yd", "yds", "yard", "yards"),
    CUSTOMARY("m", 1609.344, "mile", "miles"),
    METRIC("kg", 1.0, "kg"),
    METRIC("kg", 1e-3, "g", "gram", "grams"),
    METRIC("kg", 1e-6, "mg"),
    METRIC("kg", 1e-9, "ug"),
    METRIC("kg", 1000.0, "t", "tonne", "tonnes"),
    CUSTOMARY("kg", 0.45359237, "lb", "lbs", "pound", "pounds"),
    CUSTOMARY("kg", 0.0311034768, "ozt"),
    CUSTOMARY("kg", 0.00155517384, "dwt"),
    METRIC("m3", 1e-3, "l", "L", "litre", "litres", "liter", "liters"),
    CUSTOMARY("m3", 0.003785411784, "gal", "gallon", "gallons"),
    CUSTOMARY("m3", 0.000946352946, "qt", "quart", "quarts"),
    CUSTOMARY("m3", 0.01892705892, "bucket", "buckets"),
    METRIC("s", 1.0, "s", "sec", "secs", "second", "seconds"),
    METRIC("s", 60.0, "min", "mins", "minute", "minutes"),
    METRIC("s", 3600.0, "h", "hr", "hrs", "hour", "hours"),
    METRIC("s", 86400.0, "day", "days"),
    CUSTOMARY("m3 s-1", 0.0004719474432, "cfm"),
    CUSTOMARY("m s-1", 0.44704, "mph"),
    METRIC("m s-1", 1.0 / 3.6, "kmh", "kph"),
    METRIC("s-1", 1.0 / 60.0, "rpm", "RPM"),
    METRIC("s-1", 1.0, "Hz", "hz", "HZ", "rps"),
    METRIC("Pa", 1.0, "Pa"),
    METRIC("Pa", 100.0, "hPa", "mb", "mbar"),
    METRIC("Pa", 1000.0, "kPa"),
    CUSTOMARY("Pa", 6894.757293168361, "psi"),
    CUSTOMARY("Pa", 249.08891, "inH2O", "inwg", "in H2O", "in of water", "inch of water",
              "inches of water", "in water", "inches water", "\" of water"),
    CUSTOMARY("Pa", 3386.389, "inHg", "in Hg", "inches of mercury"),
    METRIC("Pa", 9.80665, "mmH2O", "mm H2O", "mm of water"),
    METRIC("Pa", 133.322387415, "mmHg"),
    METRIC("Pa s", 1e-3, "cP"),
    METRIC("W", 1.0, "W"),
    METRIC("J", 1e6, "MJ"),
    METRIC("C", 1.0, "C"),
    METRIC("C", 1e-6, "uC"),
    METRIC("rad", 1.0, "rad"),
    METRIC("rad", 3.14159265358979323846 / 180.0, "deg", "degree", "degrees", "\xc2\xb0"),
    METRIC("1", 0.01, "%", "percent", "per cent", "pct"),
    METRIC("1", 1e-6, "ppm"),
    METRIC("1", 1e-9, "ppb"),
    TEMPERATURE(FG_UNIT_METRIC, 1.0, 0.0, "K", "kelvin"),
    TEMPERATURE(FG_UNIT_METRIC, 1.0, 273.15, "C", "degC", "deg C", "\xc2\xb0\x43", "celsius",
                "Celsius", "\xe2\x84\x83"),
    TEMPERATURE(FG_UNIT_CUSTOMARY, 1.8, 459.67, "F", "degF", "deg F", "\xc2\xb0\x46", "fahrenheit",
                "Fahrenheit", "\xe2\x84\x89"),
    REFUSED("write ozt for troy ounces, or give it in lb or g", "oz", "ounce", "ounces"),
    REFUSED("write g for grams, or mg; a grain is 64.8 mg", "gr", "grain", "grains"),
    REFUSED("write in for inches (a mil is 0.001 in) or mm", "mil", "mils"),
    REFUSED("write t for 1000 kg, or lb (a short ton is 2000 lb)", "ton", "tons"),
    REFUSED("mesh is accepted for grain and screen sizes only, alone, as in 60 mesh", "mesh"),
    REFUSED("noise is a plain number", "dBA", "dB"),
    REFUSED("units are names joined by *, / or a space", "at", "from", "since", "after", "ref",
            "re"),
    REFUSED("units are names joined by *, / or a space", "lg", "ln", "log"),
};

const size_t fg_unit_table_count = sizeof fg_unit_table / sizeof fg_unit_table[0];

/* Whether capitals say nothing in a name of this row: in metric symbols they do (mm, Mm). */
static bool any_case(const fg_unit_row *row, const char *name) {
  return row->kind != FG_UNIT_METRIC || strcmp(row->si, "K") == 0 || strlen(name) >= WORD_LEAST;
}

const fg_unit_row *fg_unit_find(const char *name, bool temperature) {
  const fg_unit_row *likewise = NULL;
  for (size_t i = 0; i < fg_unit_table_count; ++i) {
    const fg_unit_row *row = &fg_unit_table[i];
    for (size_t k = 0; (strcmp(row->si, "K") == 0) == temperature && row->names[k]; ++k) {
      if (strcmp(row->names[k], name) == 0)
        return row;
      if (!likewise && any_case(row, name) && strcasecmp(row->names[k], name) == 0)
        likewise = row;
    }
  }
  return likewise;
}

size_t fg_unit_phrase(const char *text) {
  size_t longest = 0;
  for (size_t i = 0; i < fg_unit_table_count; ++i) {
    for (size_t k = 0; fg_unit_table[i].names[k]; ++k) {
      const char *name = fg_unit_table[i].names[k];
      const size_t length = strlen(name);
      if (length > longest && strchr(name, ' ') && strcmp(fg_unit_table[i].si, "K") != 0 &&
          strncasecmp(text, name, length) == 0 && !isalnum((unsigned char)text[length]))
        longest = length;
    }
  }
  return longest;
}

/* The name at `text`, up to `length` bytes, which may end in the digit of its power. */
static const fg_unit_row *find_raised(const char *text, size_t length, int *power) {
  char name[16] = "";
  *power = 1;
  if (length == 0 || length >= sizeof name)
    return NULL;
  memcpy(name, text, length);
  const fg_unit_row *row = fg_unit_find(name, false);
  if (row || !strchr("23", name[length - 1]))
    return row;
  *power = name[length - 1] - '0';
  name[length - 1] = '\0';
  return fg_unit_find(name, false);
}

fg_scale fg_unit_shown(const char *unit) {
  const fg_unit_row *degree = fg_unit_find(unit, true);
  if (degree)
    return (fg_scale){1.0 / degree->factor, 0.0 - degree->shift, degree->kind == FG_UNIT_CUSTOMARY};
  double above = 1.0, below = 1.0;
  bool customary = false, divided = false;
  while (*unit != '\0') {
    const size_t length = strcspn(unit, "/ ");
    int power;
    const fg_unit_row *row = find_raised(unit, length, &power);
    for (int i = 0; row && i < power; ++i)
      *(divided ? &below : &above) *= row->factor;
    customary = customary || (row && row->kind == FG_UNIT_CUSTOMARY);
    unit += length;
    divided = *unit == '/';
    unit += *unit != '\0';
  }
  return (fg_scale){below / above, 0.0, customary};
}
