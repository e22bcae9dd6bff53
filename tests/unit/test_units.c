/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers and units as people write them.  Expected values follow from definitions:
 *   [IYP]  international yard and pound agreement of 1959: 1 yd = 0.9144 m,
 *          1 lb = 0.45359237 kg
 *   [811]  NIST SP 811 (2008), appendix B.8
 *   [E11]  ASTM E11, table 1
 * worked out by hand below where more than one factor is involved. */
#include "fg_test.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <udunits2.h>

#include "core/nearest.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "input/unit_names.h"
#include "physics/sieve.h"
#include "report/report.h"

#define PI 3.14159265358979323846

/* ---- values that must come out right ---- */

typedef struct conversion {
  const char *text;
  fg_quantity quantity;
  int basis;
  double si;
  double tolerance; /* relative; 0: 1e-9 */
} conversion;

static conversion conversions[] = {
    /* numbers */
    {"8", FG_Q_NUMBER, 0, 8.0, 0},
    {"-2.5", FG_Q_NUMBER, 0, -2.5, 0},
    {"+.5", FG_Q_NUMBER, 0, 0.5, 0},
    {"2e3", FG_Q_NUMBER, 0, 2000.0, 0},
    {"1.5E-2", FG_Q_NUMBER, 0, 0.015, 0},
    {"3/4", FG_Q_NUMBER, 0, 0.75, 0},
    {"1 1/2", FG_Q_NUMBER, 0, 1.5, 0},
    {"1-1/2", FG_Q_NUMBER, 0, 1.5, 0},
    {"-1 1/2", FG_Q_NUMBER, 0, -1.5, 0},
    {" 7 ", FG_Q_INTEGER, 0, 7.0, 0},
    {"98", FG_Q_NOISE, 0, 98.0, 0},
    /* lengths [IYP] */
    {"1 in", FG_Q_LENGTH, 0, 0.0254, 0},
    {"1 1/2 in", FG_Q_LENGTH, 0, 0.0381, 0},
    {"1-1/2 inches", FG_Q_LENGTH, 0, 0.0381, 0},
    {"1/2in", FG_Q_LENGTH, 0, 0.0127, 0},
    {"8 in.", FG_Q_LENGTH, 0, 0.2032, 0},
    {"31 1/2 in", FG_Q_LENGTH, 0, 0.8001, 0},
    {"2500 ft", FG_Q_DISTANCE, 0, 762.0, 0},
    {"1 foot", FG_Q_DISTANCE, 0, 0.3048, 0},
    {"3 yards", FG_Q_DISTANCE, 0, 2.7432, 0},
    {"1 mile", FG_Q_DISTANCE, 0, 1609.344, 0},
    {"30 cm", FG_Q_LENGTH, 0, 0.3, 0},
    {"150 um", FG_Q_GRAIN_SIZE, 0, 150e-6, 0},
    {"150 \xc2\xb5m", FG_Q_GRAIN_SIZE, 0, 150e-6, 0},
    {"150 \xce\xbcm", FG_Q_GRAIN_SIZE, 0, 150e-6, 0},
    {"150 microns", FG_Q_GRAIN_SIZE, 0, 150e-6, 0},
    {"8\xc2\xa0in", FG_Q_LENGTH, 0, 0.2032, 0},
    /* sieves [E11] */
    {"4 mesh", FG_Q_GRAIN_SIZE, 0, 4.75e-3, 0},
    {"3 1/2 mesh", FG_Q_GRAIN_SIZE, 0, 5.6e-3, 0},
    {"20 mesh", FG_Q_GRAIN_SIZE, 0, 850e-6, 0},
    {"60 mesh", FG_Q_GRAIN_SIZE, 0, 250e-6, 0},
    {"100mesh", FG_Q_GRAIN_SIZE, 0, 150e-6, 0},
    {"325 mesh", FG_Q_GRAIN_SIZE, 0, 45e-6, 0},
    {"635 mesh", FG_Q_GRAIN_SIZE, 0, 20e-6, 0},
    /* areas */
    {"12 in2", FG_Q_AREA, 0, 12.0 * 6.4516e-4, 0},
    {"12 in^2", FG_Q_AREA, 0, 12.0 * 6.4516e-4, 0},
    {"12 sq in", FG_Q_AREA, 0, 12.0 * 6.4516e-4, 0},
    {"1 square foot", FG_Q_AREA, 0, 0.09290304, 0},
    {"5 cm\xc2\xb2", FG_Q_AREA, 0, 5e-4, 0},
    /* speeds [811] */
    {"190 mph", FG_Q_NOZZLE_SPEED, 0, 190.0 * 0.44704, 0},
    {"36 kmh", FG_Q_NOZZLE_SPEED, 0, 10.0, 0},
    {"36 km/h", FG_Q_NOZZLE_SPEED, 0, 10.0, 0},
    {"60 ft/min", FG_Q_SPEED, 0, 0.3048, 0},
    {"60 ft per minute", FG_Q_SPEED, 0, 0.3048, 0},
    /* flows: 1 cfm = 0.3048^3/60 m3/s */
    {"1 cfm", FG_Q_VOLUME_RATE, 0, 4.719474432e-4, 0},
    {"1 ft3/min", FG_Q_VOLUME_RATE, 0, 4.719474432e-4, 0},
    {"1 cu ft/min", FG_Q_VOLUME_RATE, 0, 4.719474432e-4, 0},
    {"12 m^3/min", FG_Q_VOLUME_RATE, 0, 0.2, 0},
    {"12 m\xc2\xb3/min", FG_Q_VOLUME_RATE, 0, 0.2, 0},
    {"0.3 gal/h", FG_Q_FUEL_RATE, 0, 0.3 * 3.785411784e-3 / 3600.0, 0},
    {"3.6 l/h", FG_Q_FUEL_RATE, 0, 1e-6, 0},
    {"1 yd3/h", FG_Q_YARD_RATE, 0, 0.764554857984 / 3600.0, 0},
    {"40 cfm/ft2", FG_Q_PERMEABILITY, 0, 40.0 * 0.3048 / 60.0, 0},
    /* pressures [811], to the digits printed there */
    {"1 inH2O", FG_Q_PRESSURE, 0, 249.0889, 5e-7},
    {"1 mmH2O", FG_Q_PRESSURE, 0, 9.80665, 0},
    {"1 inHg", FG_Q_BAROMETER, 0, 3386.389, 0},
    {"760 mmHg", FG_Q_BAROMETER, 0, 101325.0, 5e-7},
    {"1013.25 mb", FG_Q_BAROMETER, 0, 101325.0, 0},
    {"1013.25 hPa", FG_Q_BAROMETER, 0, 101325.0, 0},
    {"1 psi", FG_Q_PRESSURE, 0, 6894.757, 5e-7},
    /* masses [IYP]; troy [811] */
    {"22 lb", FG_Q_MASS, 0, 22.0 * 0.45359237, 0},
    {"22 pounds", FG_Q_MASS, 0, 22.0 * 0.45359237, 0},
    {"1 ozt", FG_Q_SMALL_MASS, 0, 31.1034768e-3, 0},
    {"20 dwt", FG_Q_SMALL_MASS, 0, 31.1034768e-3, 0},
    {"5 mg", FG_Q_SMALL_MASS, 0, 5e-6, 0},
    {"0.15 lb in", FG_Q_UNBALANCE, 0, 0.15 * 0.45359237 * 0.0254, 0},
    {"0.15 lb*in", FG_Q_UNBALANCE, 0, 0.15 * 0.45359237 * 0.0254, 0},
    {"0.15 lb\xc2\xb7in", FG_Q_UNBALANCE, 0, 0.15 * 0.45359237 * 0.0254, 0},
    {"4.8 kg mm", FG_Q_UNBALANCE, 0, 0.0048, 0},
    /* densities: 1 lb/ft3 = 16.01846 kg/m3 [811] */
    {"100 lb/ft3", FG_Q_DENSITY, 0, 1601.846, 5e-7},
    {"2700 lb/yd3", FG_Q_DENSITY, 0, 1601.846, 5e-7},
    {"2700 lb/cu yd", FG_Q_DENSITY, 0, 1601.846, 5e-7},
    {"1.6 g/cm3", FG_Q_DENSITY, 0, 1600.0, 0},
    {"1.6 g cm-3", FG_Q_DENSITY, 0, 1600.0, 0},
    {"1.6 t/m3", FG_Q_DENSITY, 0, 1600.0, 0},
    /* slopes and angles */
    {"20 deg", FG_Q_SLOPE, 0, 20.0 * PI / 180.0, 0},
    {"20\xc2\xb0", FG_Q_SLOPE, 0, 20.0 * PI / 180.0, 0},
    {"100 %", FG_Q_SLOPE, 0, PI / 4.0, 0},
    {"12 in/ft", FG_Q_SLOPE, 0, PI / 4.0, 0},
    {"12 in per ft", FG_Q_SLOPE, 0, PI / 4.0, 0},
    {"1 m/m", FG_Q_SLOPE, 0, PI / 4.0, 0},
    {"0.5 rad", FG_Q_ANGLE, 0, 0.5, 0},
    /* as people write and say them */
    {"500 CFM", FG_Q_VOLUME_RATE, 0, 500.0 * 4.719474432e-4, 0},
    {"200 MPH", FG_Q_NOZZLE_SPEED, 0, 200.0 * 0.44704, 0},
    {"1500 RPM", FG_Q_FREQUENCY, 0, 25.0, 0},
    {"30 Inches", FG_Q_LENGTH, 0, 30.0 * 0.0254, 0},
    {"12 IN", FG_Q_LENGTH, 0, 12.0 * 0.0254, 0},
    {"75 f", FG_Q_TEMPERATURE, 0, 297.0388888888889, 0},
    {"60 Mesh", FG_Q_GRAIN_SIZE, 0, 250e-6, 0},
    {"3/8\"", FG_Q_LENGTH, 0, 0.375 * 0.0254, 0},
    {"1 1/2\"", FG_Q_LENGTH, 0, 1.5 * 0.0254, 0},
    {"30\xe2\x80\xb3", FG_Q_LENGTH, 0, 30.0 * 0.0254, 0},
    {"2' 6\"", FG_Q_LENGTH, 0, 2.5 * 0.3048, 0},
    {"2'6\"", FG_Q_LENGTH, 0, 2.5 * 0.3048, 0},
    {"2 ft 6 1/2 in", FG_Q_LENGTH, 0, 2.5 * 0.3048 + 0.5 * 0.0254, 0},
    {"5 lb 500 mg", FG_Q_MASS, 0, 5.0 * 0.45359237 + 0.0005, 0},
    {"1 min 30 s", FG_Q_TIME, 0, 90.0, 0},
    {"90 seconds", FG_Q_TIME, 0, 90.0, 0},
    {"half inch", FG_Q_LENGTH, 0, 0.0127, 0},
    {"half an inch", FG_Q_LENGTH, 0, 0.0127, 0},
    {"Half-inch", FG_Q_GRAIN_SIZE, 0, 0.0127, 0},
    {"a quarter of an inch", FG_Q_LENGTH, 0, 0.00635, 0},
    {"three quarters of an inch", FG_Q_LENGTH, 0, 0.01905, 0},
    {"2 and a half inches", FG_Q_LENGTH, 0, 0.0635, 0},
    {"two feet", FG_Q_LENGTH, 0, 0.6096, 0},
    {"six", FG_Q_INTEGER, 0, 6.0, 0},
    {"half", FG_Q_SHARE, 0, 0.5, 0},
    {"1 percent", FG_Q_PERCENT, 0, 0.01, 0},
    {"half a percent", FG_Q_PERCENT, 0, 0.005, 0},
    {"3 per cent", FG_Q_PERCENT, 0, 0.03, 0},
    {"3.5 inches of water", FG_Q_PRESSURE, 0, 3.5 * 249.08891, 0},
    {"3 1/2 in of water", FG_Q_PRESSURE, 0, 3.5 * 249.08891, 0},
    {"4 in H2O", FG_Q_PRESSURE, 0, 4.0 * 249.08891, 0},
    {"4\" of water", FG_Q_PRESSURE, 0, 4.0 * 249.08891, 0},
    {"1 bucket a minute", FG_Q_FEED, FG_BASIS_VOLUME, 0.01892705892 / 60.0, 0},
    {"a bucket every 2 minutes", FG_Q_FEED, FG_BASIS_VOLUME, 0.01892705892 / 120.0, 0},
    {"one bucket every 1 min 15 s", FG_Q_FEED, FG_BASIS_VOLUME, 0.01892705892 / 75.0, 0},
    {"one bucket every minute", FG_Q_FEED, FG_BASIS_VOLUME, 0.01892705892 / 60.0, 0},
    {"90 s a bucket", FG_Q_FEED, FG_BASIS_VOLUME, 0.01892705892 / 90.0, 0},
    {"4 3/8\" per foot", FG_Q_SLOPE, 0, 0.3496071238, 1e-9}, /* atan(4.375/12) */
    /* turning: rpm counts turns, not radians */
    {"1500 rpm", FG_Q_FREQUENCY, 0, 25.0, 0},
    {"25 rps", FG_Q_FREQUENCY, 0, 25.0, 0},
    {"25 Hz", FG_Q_FREQUENCY, 0, 25.0, 0},
    {"30 1/s", FG_Q_RATE, 0, 30.0, 0},
    /* temperatures with their zero: 75 F = (75 + 459.67)/1.8 K */
    {"75 F", FG_Q_TEMPERATURE, 0, 297.03888888888889, 0},
    {"75 degF", FG_Q_TEMPERATURE, 0, 297.03888888888889, 0},
    {"75 \xc2\xb0\x46", FG_Q_TEMPERATURE, 0, 297.03888888888889, 0},
    {"-40 F", FG_Q_TEMPERATURE, 0, 233.15, 0},
    {"24 C", FG_Q_TEMPERATURE, 0, 297.15, 0},
    {"24 degC", FG_Q_TEMPERATURE, 0, 297.15, 0},
    {"300 K", FG_Q_TEMPERATURE, 0, 300.0, 0},
    /* times */
    {"90 min", FG_Q_HOURS, 0, 5400.0, 0},
    {"1 1/2 h", FG_Q_HOURS, 0, 5400.0, 0},
    {"2 days", FG_Q_HOURS, 0, 172800.0, 0},
    /* shares */
    {"35 %", FG_Q_SHARE, 0, 0.35, 0},
    {"0.35", FG_Q_SHARE, 0, 0.35, 0},
    {"1/2 %", FG_Q_PERCENT, 0, 0.005, 0},
    {"0.02", FG_Q_ROUGHNESS, FG_BASIS_SI, 0.02, 0},
    {"2 %", FG_Q_ROUGHNESS, FG_BASIS_SI, 0.02, 0},
    {"0.2 mm", FG_Q_ROUGHNESS, FG_BASIS_LENGTH, 0.0002, 0},
    /* feed: by mass, by volume, or as time */
    {"30 lb/min", FG_Q_FEED, FG_BASIS_SI, 30.0 * 0.45359237 / 60.0, 0},
    {"4 s/kg", FG_Q_FEED, FG_BASIS_SI, 0.25, 0},
    {"21 ft3/h", FG_Q_FEED, FG_BASIS_VOLUME, 21.0 * 0.028316846592 / 3600.0, 0},
    /* 5 gal of 231 in3 in 120 s */
    {"2 min/bucket", FG_Q_FEED, FG_BASIS_VOLUME, 5.0 * 231.0 * 1.6387064e-5 / 120.0, 0},
    {"2 min per bucket", FG_Q_FEED, FG_BASIS_VOLUME, 5.0 * 231.0 * 1.6387064e-5 / 120.0, 0},
    {"30 buckets/hour", FG_Q_FEED, FG_BASIS_VOLUME, 5.0 * 231.0 * 1.6387064e-5 / 120.0, 0},
    /* grade */
    {"0.5 g/yd3", FG_Q_GRADE, FG_BASIS_SI, 0.5e-3 / 0.764554857984, 0},
    {"0.01 ozt/yd3", FG_Q_GRADE, FG_BASIS_SI, 0.311034768e-3 / 0.764554857984, 0},
    {"650 mg/m3", FG_Q_GRADE, FG_BASIS_SI, 650e-6, 0},
    {"0.3 g/t", FG_Q_GRADE, FG_BASIS_MASS, 0.3e-6, 0},
    {"0.3 ppm", FG_Q_GRADE, FG_BASIS_MASS, 0.3e-6, 0},
    /* the rest */
    {"600 cP", FG_Q_VISCOSITY, 0, 0.6, 0},
    {"0.6 Pa s", FG_Q_VISCOSITY, 0, 0.6, 0},
    {"3 uC/m2", FG_Q_CHARGE, 0, 3e-6, 0},
    {"1 kg/h", FG_Q_MASS_RATE, 0, 1.0 / 3600.0, 0},
};

enum { CONVERSIONS = sizeof conversions / sizeof conversions[0] };

static void check_conversion(void **state) {
  const conversion *c = *state;
  char message[320] = "";
  double si = NAN;
  int basis = -1;
  if (fg_quantity_parse(c->text, c->quantity, &si, &basis, message, sizeof message) != FG_OK)
    fail_msg("\"%s\": %s", c->text, message);
  /* SP 811 prints seven digits of the values that are not exact. */
  assert_close(si, c->si, c->tolerance > 0.0 ? c->tolerance : 1e-9);
  assert_int_equal(basis, c->basis);
}

/* ---- texts that must be refused, and what the message has to name ---- */

typedef struct refusal {
  const char *text;
  fg_quantity quantity;
  const char *named;
} refusal;

static refusal refusals[] = {
    /* numbers */
    {"", FG_Q_NUMBER, "missing"},
    {"in", FG_Q_LENGTH, "number"},
    {"0x10 in", FG_Q_LENGTH, "hexadecimal"},
    {"nan m", FG_Q_LENGTH, "nan"},
    {"inf m", FG_Q_LENGTH, "inf"},
    {"1,200 cfm", FG_Q_VOLUME_RATE, "1200 or 1.2"},
    {"1 200 cfm", FG_Q_VOLUME_RATE, "two numbers"},
    {"1.2.3 m", FG_Q_LENGTH, "point"},
    {"1/0 in", FG_Q_LENGTH, "divided by 0"},
    {"1e999 m", FG_Q_LENGTH, "too large"},
    {"1\xc2\xbd in", FG_Q_LENGTH, "1 1/2"},
    {"7.5", FG_Q_INTEGER, "whole"},
    /* a unit is missing, or too much */
    {"8", FG_Q_LENGTH, "8 in"},
    {"75", FG_Q_TEMPERATURE, "75 F"},
    {"0", FG_Q_FEED, "unit"},
    {"5 in", FG_Q_NUMBER, "write 5"},
    {"5 %", FG_Q_NUMBER, "write 5"},
    {"98 dBA", FG_Q_NOISE, "write 98"},
    {"0.5", FG_Q_PERCENT, "%"},
    {"5 mm", FG_Q_SHARE, "length"},
    /* the wrong kind */
    {"5 lb", FG_Q_LENGTH, "mass"},
    {"5 ft", FG_Q_MASS, "length"},
    {"60 mesh", FG_Q_LENGTH, "mesh"},
    {"62 mesh", FG_Q_GRAIN_SIZE, "No. 60 and No. 70"},
    {"1000 mesh", FG_Q_GRAIN_SIZE, "No. 635"},
    {"10 s", FG_Q_FREQUENCY, "time"}, /* udunits2 takes inverses for the same */
    {"5 rad/s", FG_Q_FREQUENCY, "angle"},
    {"2 min", FG_Q_FEED, "time"},
    {"0 min/bucket", FG_Q_FEED, "time"},
    {"3 %", FG_Q_GRADE, "share"},
    {"5 in/ft", FG_Q_ANGLE, "ratio"}, /* udunits2 takes a ratio for an angle */
    {"33 %", FG_Q_ANGLE, "share"},
    {"5 lb/lb", FG_Q_SLOPE, "ratio"},
    {"5 deg", FG_Q_NUMBER, "write 5"},
    {"20 F", FG_Q_LENGTH, "length is needed"}, /* a farad here */
    {"20 degC", FG_Q_LENGTH, "zero of its own"},
    {"20 m", FG_Q_TEMPERATURE, "temperature"},
    /* names that mean too much */
    {"9 oz", FG_Q_MASS, "ozt"},
    {"9 ounces", FG_Q_MASS, "ozt"},
    {"9 oz/yd3", FG_Q_GRADE, "ozt"},
    {"9 gr", FG_Q_SMALL_MASS, "64.8 mg"},
    {"2 tons", FG_Q_MASS, "2000 lb"},
    {"2 mil", FG_Q_LENGTH, "0.001 in"},
    /* what udunits2 would have read something into */
    {"10 in from 5", FG_Q_LENGTH, "from"},
    {"10 in since 5", FG_Q_LENGTH, "since"},
    {"10 K @ 5", FG_Q_TEMPERATURE, "temperature"},
    {"5 m @ 2", FG_Q_LENGTH, "use names"},
    {"10 lg(re m)", FG_Q_LENGTH, "lg"},
    {"8 in 3", FG_Q_LENGTH, "number"},
    {"5 (m)", FG_Q_LENGTH, "brackets"},
    {"5 dBZ", FG_Q_LENGTH, "zero of its own"},
    /* grammar */
    {"2 in 3 ft", FG_Q_LENGTH, "number stands"},
    {"2 ft 13 in", FG_Q_LENGTH, "number stands"},
    {"2' 6", FG_Q_LENGTH, "number stands"},
    {"8 in 3 mm 2 mm", FG_Q_LENGTH, "number stands"},
    {"5 mM", FG_Q_LENGTH, "mM"},
    {"-50 mesh", FG_Q_GRAIN_SIZE, "falls through a sieve"},
    {"+50 mesh", FG_Q_GRAIN_SIZE, "stays on a sieve"},
    {"a bucket every 0 s", FG_Q_FEED, "more than 0"},
    {"a bucket every inch", FG_Q_FEED, "a time is needed"},
    {"halfway", FG_Q_LENGTH, "does not begin with a number"},
    {"a", FG_Q_LENGTH, "needs a unit"},
    {"5 m/", FG_Q_SPEED, "too early"},
    {"5 m//s", FG_Q_SPEED, "use names"},
    {"5 m per / s", FG_Q_SPEED, "use names"},
    {"5 lb/ft s", FG_Q_PRESSURE, "last"},
    {"5 lb-in", FG_Q_UNBALANCE, "not with -"},
    {"5 m0", FG_Q_LENGTH, "powers"},
    {"5 m^99", FG_Q_LENGTH, "powers"},
    {"5 m3s", FG_Q_LENGTH, "digit"},
    {"5 sq", FG_Q_AREA, "too early"},
    {"5 inche", FG_Q_LENGTH, "perhaps inch"},
    {"5 furlongz", FG_Q_LENGTH, "unknown unit"},
    {"5 m m m m m m m m m m", FG_Q_LENGTH, "too many"},
};

enum { REFUSALS = sizeof refusals / sizeof refusals[0] };

static void check_refusal(void **state) {
  const refusal *r = *state;
  char message[320] = "";
  double si = 12345.0;
  int basis = -7;
  if (fg_quantity_parse(r->text, r->quantity, &si, &basis, message, sizeof message) == FG_OK)
    fail_msg("\"%s\" was taken for %g", r->text, si);
  if (!strstr(message, r->named))
    fail_msg("\"%s\": \"%s\" does not name \"%s\"", r->text, message, r->named);
  assert_true(si == 12345.0);
  assert_int_equal(basis, -7);
}

/* ---- the rest ---- */

static void every_example_can_be_read(void **state) {
  (void)state;
  for (int q = 0; q < FG_Q_COUNT; ++q) {
    const fg_quantity_info *info = fg_quantity_of((fg_quantity)q);
    char message[320] = "";
    double si;
    if (fg_quantity_parse(info->example, (fg_quantity)q, &si, NULL, message, sizeof message) !=
        FG_OK)
      fail_msg("%s: %s", info->example, message);
  }
}

/* What a report prints can be written into a file again. */
static void shown_units_can_be_read(void **state) {
  (void)state;
  for (int q = 0; q < FG_Q_COUNT; ++q) {
    for (int units = 0; units < 2; ++units) {
      const fg_display *show = &fg_quantity_of((fg_quantity)q)->show[units];
      char text[64], message[320] = "";
      double si;
      snprintf(text, sizeof text, "2 %s", q == FG_Q_NOISE ? "" : show->unit);
      if (fg_quantity_parse(text, (fg_quantity)q, &si, NULL, message, sizeof message) != FG_OK)
        fail_msg("%s: %s", text, message);
      int basis;
      fg_quantity_parse(text, (fg_quantity)q, &si, &basis, message, sizeof message);
      if (basis == FG_BASIS_SI)
        assert_close(fg_quantity_shown((fg_quantity)q, (fg_unit_system)units, si), 2.0, 1e-9);
    }
  }
}

/* Units as udunits2's own tables spell them: what is shown, and what endings of data names say,
 * must be the same.  Its gallon is rounded, so that is spelled in inches; its mercury has 13595.1
 * kg/m3, which is 3386.38 Pa an inch. */
static const struct {
  const char *shown, *ending; /* ending NULL: of no data name */
  const char *spelling, *si;
} spelled[] = {
    {"in", "_in", "inch", "m"},
    {"ft", "_ft", "foot", "m"},
    {"mm", "_mm", "millimeter", "m"},
    {"m", "_m", "meter", "m"},
    {"um", "_um", "micrometer", "m"},
    {"in2", NULL, "inch2", "m2"},
    {"cm2", NULL, "cm2", "m2"},
    {"m2", "_m2", "m2", "m2"},
    {"m3", "_m3", "m3", "m3"},
    {"ft/s", "_ft_s", "foot/second", "m s-1"},
    {"m/s", "_m_s", "m/s", "m s-1"},
    {"mph", NULL, "mile/hour", "m s-1"},
    {"cfm", "_cfm", "foot3/minute", "m3 s-1"},
    {"m3/min", "_m3_min", "m3/minute", "m3 s-1"},
    {"m3/h", "_m3_h", "m3/hour", "m3 s-1"},
    {"yd3/h", NULL, "yard3/hour", "m3 s-1"},
    {"ft3/h", NULL, "foot3/hour", "m3 s-1"},
    {"l/h", "_l_h", "liter/hour", "m3 s-1"},
    {"gal/h", "_gal_h", "231 inch3/hour", "m3 s-1"},
    {"inH2O", "_inh2o", "inch conventional_water", "Pa"},
    {"inHg", NULL, "inch conventional_mercury", "Pa"},
    {"Pa", "_pa", "pascal", "Pa"},
    {"hPa", "_hpa", "hectopascal", "Pa"},
    {"kPa", "_kpa", "kilopascal", "Pa"},
    {"lb", NULL, "pound", "kg"},
    {"kg", "_kg", "kg", "kg"},
    {"g", "_g", "gram", "kg"},
    {"mg", "_mg", "milligram", "kg"},
    {"lb/yd3", NULL, "pound/yard3", "kg m-3"},
    {"kg/m3", "_kg_m3", "kg/m3", "kg m-3"},
    {"g/cm3", "_g_cm3", "gram/cm3", "kg m-3"},
    {"g/yd3", "_g_yd3", "gram/yard3", "kg m-3"},
    {"g/m3", "_g_m3", "gram/m3", "kg m-3"},
    {"ug/m3", NULL, "microgram/m3", "kg m-3"},
    {"deg", "_deg", "degree", "rad"},
    {"rad", "_rad", "radian", "rad"},
    {"s", "_s", "second", "s"},
    {"min", "_min", "minute", "s"},
    {"h", "_h", "hour", "s"},
    {"rpm", "_rpm", "1/minute", "Hz"},
    {"Hz", "_hz", "hertz", "Hz"},
    {"1/s", "_1_s", "1/second", "s-1"},
    {"F", NULL, "degF", "K"},
    {"C", "_c", "degC", "K"},
    {"K", "_k", "kelvin", "K"},
    {"Pa s", "_pa_s", "pascal second", "Pa s"},
    {"cfm/ft2", NULL, "foot/minute", "m s-1"},
    {"lb in", NULL, "pound inch", "kg m"},
    {"kg mm", NULL, "kg millimeter", "kg m"},
    {"kg m", "_kg_m", "kg meter", "kg m"},
    {"lb/min", "_lb_min", "pound/minute", "kg s-1"},
    {"kg/min", NULL, "kg/minute", "kg s-1"},
    {"lb/h", NULL, "pound/hour", "kg s-1"},
    {"kg/h", "_kg_h", "kg/hour", "kg s-1"},
    {"g/h", "_g_h", "gram/hour", "kg s-1"},
    {"mg/h", "_mg_h", "milligram/hour", "kg s-1"},
    {"uC/m2", NULL, "microcoulomb/m2", "C m-2"},
    {"C/m2", "_c_m2", "coulomb/m2", "C m-2"},
    {"gal", NULL, "231 inch3", "m3"},
    {"l", "_l", "liter", "m3"},
    {"in/day", NULL, "inch/day", "m s-1"},
    {"mm/day", "_mm_day", "millimeter/day", "m s-1"},
    {"MJ/m2/day", "_mj_m2_day", "megajoule/m2/day", "W m-2"},
    {"%", "_percent", "percent", "1"},
    {"dBA", "_dba", "1", "1"},
};

enum { SPELLED = sizeof spelled / sizeof spelled[0] };

/* What `si` of the internal unit is in the spelled one. */
static double by_udunits(ut_system *system, const char *spelling, const char *internal, double si) {
  ut_unit *from = ut_parse(system, internal, UT_ASCII);
  ut_unit *to = ut_parse(system, spelling, UT_ASCII);
  cv_converter *convert = from && to ? ut_get_converter(from, to) : NULL;
  if (!convert)
    fail_msg("udunits2 cannot convert %s to %s", internal, spelling);
  const double value = cv_convert_double(convert, si);
  cv_free(convert);
  ut_free(from);
  ut_free(to);
  return value;
}

static void shown_units_are_those_of_udunits(void **state) {
  (void)state;
  ut_set_error_message_handler(ut_ignore);
  ut_system *system = ut_read_xml(NULL);
  assert_non_null(system);
  for (int q = 0; q < FG_Q_COUNT; ++q)
    for (int units = 0; units < 2; ++units) {
      const fg_quantity_info *info = fg_quantity_of((fg_quantity)q);
      const char *unit = info->show[units].unit;
      size_t i = 0;
      while (i < SPELLED && strcmp(spelled[i].shown, unit) != 0)
        ++i;
      if (i == SPELLED && unit[0] != '\0')
        fail_msg("no spelling for the unit %s", unit);
      const char *spelling = i < SPELLED ? spelled[i].spelling : "1";
      const double expected = by_udunits(system, spelling, info->si_unit, 300.0);
      assert_close(fg_quantity_shown((fg_quantity)q, (fg_unit_system)units, 300.0), expected, 4e-6);
    }
  ut_free_system(system);
}

static void endings_of_data_are_those_of_udunits(void **state) {
  (void)state;
  ut_set_error_message_handler(ut_ignore);
  ut_system *system = ut_read_xml(NULL);
  assert_non_null(system);
  size_t compared = 0;
  for (size_t i = 0; i < SPELLED; ++i) {
    char name[40];
    (void)snprintf(name, sizeof name, "datum%s", spelled[i].ending ? spelled[i].ending : "");
    const fg_data_unit *unit = fg_data_unit_of(name);
    if (!spelled[i].ending || strcmp(unit->suffix, spelled[i].ending) != 0)
      continue;
    const double expected = by_udunits(system, spelled[i].spelling, spelled[i].si, 300.0);
    assert_close(unit->factor * 300.0 + unit->offset, expected, 1e-9);
    ++compared;
  }
  assert_true(compared >= 25);
  ut_free_system(system);
}

static void a_short_message_buffer_is_respected(void **state) {
  (void)state;
  char message[8];
  double si;
  memset(message, 'x', sizeof message);
  assert_int_equal(fg_quantity_parse("5 lb", FG_Q_LENGTH, &si, NULL, message, 4), FG_ESCENARIO);
  assert_int_equal(message[3], '\0');
  assert_int_equal(message[4], 'x');
}

static void units_can_be_loaded_again(void **state) {
  (void)state;
  char message[320];
  double si = 0.0;
  fg_units_free();
  fg_units_free();
  assert_int_equal(fg_quantity_parse("1 ft", FG_Q_LENGTH, &si, NULL, message, sizeof message),
                   FG_OK);
  assert_close(si, 0.3048, 1e-12);
}

/* ASTM E11: 5 in is 125 mm, No. 635 is 20 um. */
static void sieves_run_from_coarse_to_fine(void **state) {
  (void)state;
  assert_close(fg_sieves[0].aperture_m, 0.125, 1e-12);
  assert_close(fg_sieves[fg_sieves_count - 1].aperture_m, 20e-6, 1e-12);
  for (size_t i = 1; i < fg_sieves_count; ++i) {
    assert_true(fg_sieves[i].aperture_m < fg_sieves[i - 1].aperture_m);
    if (fg_sieves[i - 1].mesh > 0.0)
      assert_true(fg_sieves[i].mesh > fg_sieves[i - 1].mesh);
  }
  double aperture = -1.0;
  assert_int_equal(fg_sieve_aperture(200, &aperture), FG_OK);
  assert_close(aperture, 75e-6, 1e-12);
  assert_int_equal(fg_sieve_aperture(62, &aperture), FG_EDOMAIN);
  assert_int_equal(fg_sieve_aperture(0, &aperture), FG_EDOMAIN);
  assert_int_equal(fg_sieve_aperture(-5, &aperture), FG_EDOMAIN);
  assert_close(aperture, 75e-6, 1e-12);
}

static void the_nearest_sieve_is_named(void **state) {
  (void)state;
  assert_int_equal(fg_sieve_nearest(250e-6), 60);
  assert_int_equal(fg_sieve_nearest(260e-6), 60);
  assert_int_equal(fg_sieve_nearest(2.0e-3), 10);
  assert_int_equal(fg_sieve_nearest(28.5e-6), 450);
  assert_int_equal(fg_sieve_nearest(0.05), 0);
  assert_int_equal(fg_sieve_nearest(5e-6), 0);
  assert_int_equal(fg_sieve_nearest(0.0), 0);
  assert_int_equal(fg_sieve_nearest(NAN), 0);
}

static void a_near_word_is_found(void **state) {
  (void)state;
  static const char *const list[] = {"deck.slope", "deck.length", "run.feed", "in", NULL};
  assert_string_equal(fg_nearest("deck.slpoe", list), "deck.slope");
  assert_string_equal(fg_nearest("deck.lenght", list), "deck.length");
  assert_string_equal(fg_nearest("Run.Feed", list), "run.feed");
  assert_string_equal(fg_nearest("inn", list), "in");
  assert_null(fg_nearest("weather", list));
  assert_null(fg_nearest("", list));
}

static void add(struct CMUnitTest *test, const char *name, CMUnitTestFunction run, void *row) {
  *test = (struct CMUnitTest){name, run, NULL, NULL, row};
}

int main(void) {
  static const struct CMUnitTest others[] = {
      cmocka_unit_test(every_example_can_be_read),
      cmocka_unit_test(shown_units_can_be_read),
      cmocka_unit_test(shown_units_are_those_of_udunits),
      cmocka_unit_test(endings_of_data_are_those_of_udunits),
      cmocka_unit_test(a_short_message_buffer_is_respected),
      cmocka_unit_test(units_can_be_loaded_again),
      cmocka_unit_test(sieves_run_from_coarse_to_fine),
      cmocka_unit_test(the_nearest_sieve_is_named),
      cmocka_unit_test(a_near_word_is_found),
  };
  enum { OTHERS = sizeof others / sizeof others[0] };
  static struct CMUnitTest tests[CONVERSIONS + REFUSALS + OTHERS];
  size_t count = 0;
  for (size_t i = 0; i < CONVERSIONS; ++i)
    add(&tests[count++], conversions[i].text, check_conversion, &conversions[i]);
  for (size_t i = 0; i < REFUSALS; ++i)
    add(&tests[count++], refusals[i].text, check_refusal, &refusals[i]);
  for (size_t i = 0; i < OTHERS; ++i)
    tests[count++] = others[i];
  const int status = FG_RUN_GROUP(tests);
  fg_units_free();
  return status;
}
