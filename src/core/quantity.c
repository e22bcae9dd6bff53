/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/text.h"
#include "core/unit_table.h"

#define BOTH(unit, digits)                                                                         \
  {                                                                                                \
    {unit, digits}, { unit, digits }                                                               \
  }
#define US_SI(us, si, digits)                                                                      \
  {                                                                                                \
    {us, digits}, { si, digits }                                                                   \
  }

static const fg_quantity_info quantities[FG_Q_COUNT] = {
    [FG_Q_NUMBER] = {"a plain number", "1", BOTH("", 3), "1.5", "no unit"},
    [FG_Q_INTEGER] = {"a whole number", "1", BOTH("", 9), "5", "no unit"},
    [FG_Q_SHARE] = {"a share", "1", BOTH("%", 3), "35 %", "% or a number from 0 to 1"},
    [FG_Q_PERCENT] = {"a percentage", "1", BOTH("%", 3), "1.5 %", "% (must be written)"},
    [FG_Q_LENGTH] = {"a length", "m", US_SI("in", "mm", 3), "8 in", "in, ft, mm, cm, m"},
    [FG_Q_DISTANCE] = {"a distance", "m", US_SI("ft", "m", 3), "2500 ft", "ft, in, yd, m, cm"},
    [FG_Q_GRAIN_SIZE] = {"a grain size", "m", BOTH("mm", 3), "0.3 mm", "mm, um, in, mesh"},
    [FG_Q_ROUGHNESS] = {"a roughness", "1", BOTH("", 3), "0.01",
                        "a number (height over diameter) or a length: mm, in"},
    [FG_Q_AREA] = {"an area", "m2", US_SI("in2", "cm2", 3), "3 in2", "in2, ft2, cm2, m2"},
    [FG_Q_SPEED] = {"a speed", "m s-1", US_SI("ft/s", "m/s", 3), "2 ft/s",
                    "ft/s, ft/min, m/s, cm/s"},
    [FG_Q_NOZZLE_SPEED] = {"an air speed", "m s-1", US_SI("mph", "m/s", 3), "200 mph",
                           "mph, ft/s, m/s, km/h"},
    [FG_Q_VOLUME_RATE] = {"an air flow", "m3 s-1", US_SI("cfm", "m3/min", 3), "450 cfm",
                          "cfm, m3/min, m3/h, m3/s"},
    [FG_Q_PRESSURE] = {"a pressure", "Pa", US_SI("inH2O", "Pa", 3), "1.5 inH2O",
                       "inH2O, Pa, kPa, psi"},
    [FG_Q_BAROMETER] = {"an air pressure", "Pa", US_SI("inHg", "hPa", 4), "27.5 inHg",
                        "inHg, hPa, mbar, kPa"},
    [FG_Q_MASS] = {"a mass", "kg", US_SI("lb", "kg", 3), "22 lb", "lb, kg, g"},
    [FG_Q_SMALL_MASS] = {"a small mass", "kg", BOTH("mg", 3), "2.5 mg", "mg, g"},
    [FG_Q_DENSITY] = {"a bulk density", "kg m-3", US_SI("lb/yd3", "kg/m3", 3), "2600 lb/yd3",
                      "lb/yd3, lb/ft3, kg/m3, g/cm3"},
    [FG_Q_GAS_DENSITY] = {"a gas density", "kg m-3", BOTH("kg/m3", 3), "1.1 kg/m3", "kg/m3, g/l"},
    [FG_Q_METAL_DENSITY] = {"a mineral's density", "kg m-3", BOTH("g/cm3", 3), "17 g/cm3",
                            "g/cm3, kg/m3"},
    [FG_Q_SLOPE] = {"a slope", "rad", BOTH("deg", 3), "20 deg", "deg, %, in/ft (rise over run)"},
    [FG_Q_ANGLE] = {"an angle", "rad", BOTH("deg", 3), "32 deg", "deg, rad"},
    [FG_Q_TIME] = {"a time", "s", BOTH("s", 3), "30 s", "s, min, h"},
    [FG_Q_MINUTES] = {"a time", "s", BOTH("min", 3), "15 min", "min, s, h"},
    [FG_Q_HOURS] = {"a time", "s", BOTH("h", 3), "6 h", "h, min"},
    [FG_Q_FREQUENCY] = {"a speed of rotation", "Hz", BOTH("rpm", 3), "1500 rpm", "rpm, Hz"},
    [FG_Q_RATE] = {"a rate", "s-1", BOTH("1/s", 3), "30 1/s", "1/s"},
    [FG_Q_TEMPERATURE] = {"a temperature", "K", US_SI("F", "C", 3), "75 F", "F, C, K"},
    [FG_Q_VISCOSITY] = {"a viscosity", "Pa s", BOTH("Pa s", 3), "1.8e-5 Pa s", "Pa s"},
    [FG_Q_PERMEABILITY] = {"an air permeability of cloth", "m s-1", US_SI("cfm/ft2", "m/s", 3),
                           "40 cfm/ft2", "cfm/ft2, m/s, mm/s"},
    [FG_Q_UNBALANCE] = {"an unbalance", "kg m", US_SI("lb in", "kg mm", 3), "0.15 lb in",
                        "lb in, kg mm, g cm"},
    [FG_Q_FEED] = {"a feed", "kg s-1", US_SI("lb/min", "kg/min", 3), "2 min/bucket",
                   "lb/min, kg/min, t/h, yd3/h, ft3/h, min/bucket"},
    [FG_Q_MASS_RATE] = {"a mass per time", "kg s-1", US_SI("lb/h", "kg/h", 3), "40 lb/h",
                        "lb/h, kg/h, t/h"},
    [FG_Q_GOLD_RATE] = {"gold per time", "kg s-1", US_SI("g/h", "mg/h", 3), "0.3 g/h", "g/h, mg/h"},
    [FG_Q_YARD_RATE] = {"ground per time", "m3 s-1", US_SI("yd3/h", "m3/h", 3), "0.7 yd3/h",
                        "yd3/h, ft3/h, m3/h"},
    [FG_Q_GRADE] = {"a grade", "kg m-3", US_SI("g/yd3", "g/m3", 3), "0.4 g/yd3",
                    "g/yd3, mg/yd3, ozt/yd3, g/m3, g/t, ppm"},
    [FG_Q_CHARGE] = {"a surface charge", "C m-2", BOTH("uC/m2", 3), "10 uC/m2", "uC/m2, C/m2"},
    [FG_Q_FUEL_RATE] = {"a fuel use", "m3 s-1", US_SI("gal/h", "l/h", 3), "0.3 gal/h",
                        "gal/h, l/h"},
    [FG_Q_NOISE] = {"a noise level in dBA", "1", BOTH("dBA", 3), "98", "no unit"},
    [FG_Q_STRENGTH] = {"a strength", "Pa", BOTH("kPa", 3), "60 kPa", "kPa, Pa, psi"},
    [FG_Q_VOLUME] = {"a volume", "m3", US_SI("gal", "l", 3), "5 gal", "gal, l, ft3, bucket"},
    [FG_Q_GOLD_MASS] = {"a mass of gold", "kg", BOTH("g", 3), "0.4 g", "g, mg, ozt"},
    [FG_Q_DUST] = {"dust in air", "kg m-3", BOTH("ug/m3", 3), "50 ug/m3", "ug/m3, mg/m3"},
    [FG_Q_WATER_DEPTH] = {"a depth of water", "m", US_SI("in", "mm", 3), "0.4 in", "in, mm, cm"},
    [FG_Q_WATER_RATE] = {"a depth of water per day", "m s-1", US_SI("in/day", "mm/day", 3),
                         "5 mm/day", "mm/day, in/day"},
    [FG_Q_RADIATION] = {"a radiation", "W m-2", BOTH("MJ/m2/day", 3), "25 MJ/m2/day",
                        "MJ/m2/day, W/m2"},
    [FG_Q_VAPOUR] = {"a vapour pressure", "Pa", BOTH("kPa", 3), "1.2 kPa", "kPa, hPa, Pa"},
};

const fg_quantity_info *fg_quantity_of(fg_quantity q) {
  int row = (int)q;
  return row >= 0 && row < FG_Q_COUNT ? &quantities[row] : &quantities[FG_Q_NUMBER];
}

double fg_quantity_shown(fg_quantity q, fg_unit_system units, double si) {
  const fg_scale scale = fg_unit_shown(fg_quantity_of(q)->show[units == FG_UNITS_SI].unit);
  return si * scale.factor + scale.offset;
}

/* Adds " (4 3/8 in per ft)" or " (5/16)": `value` to the nearest part of `parts` (a
 * power of two).  Nothing when that is zero, or further than `off` of the value away. */
static void add_fraction(char *buffer, size_t size, double value, long parts, double off,
                         const char *unit) {
  long count = lround(value * (double)parts);
  if (count <= 0 || fabs((double)count / (double)parts - value) > off * value)
    return;
  long whole = count / parts;
  long rest = count % parts;
  while (rest > 0 && rest % 2 == 0) {
    rest /= 2;
    parts /= 2;
  }
  size_t used = strlen(buffer);
  if (rest == 0)
    snprintf(buffer + used, size - used, " (%ld%s)", whole, unit);
  else if (whole == 0)
    snprintf(buffer + used, size - used, " (%ld/%ld%s)", rest, parts, unit);
  else
    snprintf(buffer + used, size - used, " (%ld %ld/%ld%s)", whole, rest, parts, unit);
}

const char *fg_quantity_text(fg_quantity q, fg_unit_system units, double si, char *buffer,
                             size_t size) {
  if (size == 0)
    return buffer;
  const fg_display *show = &fg_quantity_of(q)->show[units == FG_UNITS_SI];
  double shown = fg_quantity_shown(q, units, si);
  if (!isfinite(shown)) {
    snprintf(buffer, size, "unknown");
    return buffer;
  }
  if ((q == FG_Q_SHARE || q == FG_Q_PERCENT) && shown > 0.0 && shown < 0.005) {
    snprintf(buffer, size, "<0.01 %%");
    return buffer;
  }
  const char *unit = show->unit;
  if (q == FG_Q_VISCOSITY && shown > 0.0 && shown < 1e-3) { /* of air, not of gravel */
    shown *= 1e6;
    unit = "uPa s";
  }
  char number[32];
  fg_number_text(shown, show->digits, number, sizeof number);
  snprintf(buffer, size, "%s%s%s", number, unit[0] != '\0' ? " " : "", unit);
  if (units != FG_UNITS_US)
    return buffer;
  if (q == FG_Q_SLOPE && fabs(shown) < 80.0)
    add_fraction(buffer, size, 12.0 * tan(si), 8, INFINITY, " in per ft");
  if (q == FG_Q_LENGTH && shown < 1.0 - 1.0 / 32.0)
    add_fraction(buffer, size, shown, 16, 0.05, "");
  if (q == FG_Q_GRAIN_SIZE && si >= 2e-3)
    add_fraction(buffer, size, fg_quantity_shown(FG_Q_LENGTH, FG_UNITS_US, si), 16, 0.03, " in");
  return buffer;
}

const char *fg_quantity_error_text(fg_quantity q, fg_unit_system units, double error_si,
                                   char *buffer, size_t size) {
  const fg_display *show = &fg_quantity_of(q)->show[units == FG_UNITS_SI];
  char number[32];
  fg_number_text(error_si * fg_unit_shown(show->unit).factor, 2, number, sizeof number);
  snprintf(buffer, size, "%s%s%s", number, show->unit[0] != '\0' ? " " : "", show->unit);
  return buffer;
}
