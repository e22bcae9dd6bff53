/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_QUANTITY_H
#define FLOURGOLD_QUANTITY_H

#include <stddef.h>

#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The kinds of quantity that cross the program's edge.  Inside, every value is
 * in the SI unit named in the table of quantity.c; a kind says how a value is
 * written by people (US or SI) and which units a reader accepts for it. */
typedef enum fg_quantity {
  FG_Q_NUMBER = 0,    /* plain number, no unit */
  FG_Q_INTEGER,       /* whole plain number */
  FG_Q_SHARE,         /* 0-1, or written with % */
  FG_Q_PERCENT,       /* a share that must be written with %: moisture, clay, humidity */
  FG_Q_LENGTH,        /* m; people: in or mm */
  FG_Q_DISTANCE,      /* m; people: ft or m (elevation, hose) */
  FG_Q_GRAIN_SIZE,    /* m; mm always, mesh accepted when read */
  FG_Q_ROUGHNESS,     /* plain number (height over diameter), or a length */
  FG_Q_AREA,          /* m2; people: in2 or cm2 */
  FG_Q_SPEED,         /* m/s; people: ft/s or m/s */
  FG_Q_NOZZLE_SPEED,  /* m/s; people: mph or m/s */
  FG_Q_VOLUME_RATE,   /* m3/s; people: cfm or m3/min */
  FG_Q_PRESSURE,      /* Pa; people: inH2O or Pa */
  FG_Q_BAROMETER,     /* Pa; people: inHg or hPa */
  FG_Q_MASS,          /* kg; people: lb or kg */
  FG_Q_SMALL_MASS,    /* kg; people: mg always */
  FG_Q_DENSITY,       /* kg/m3; people: lb/yd3 or kg/m3 */
  FG_Q_GAS_DENSITY,   /* kg/m3 always */
  FG_Q_METAL_DENSITY, /* kg/m3; people: g/cm3 always */
  FG_Q_SLOPE,         /* rad; people: deg and in/ft, or deg */
  FG_Q_ANGLE,         /* rad; people: deg */
  FG_Q_TIME,          /* s */
  FG_Q_MINUTES,       /* s; people: min */
  FG_Q_HOURS,         /* s; people: h */
  FG_Q_FREQUENCY,     /* Hz; people: rpm */
  FG_Q_RATE,          /* 1/s (shear rate) */
  FG_Q_TEMPERATURE,   /* K; people: F or C */
  FG_Q_VISCOSITY,     /* Pa s */
  FG_Q_PERMEABILITY,  /* m/s through cloth at 125 Pa; people: cfm/ft2 or m/s */
  FG_Q_UNBALANCE,     /* kg m; people: oz-free: lb in, or kg mm */
  FG_Q_FEED,          /* kg/s; people: lb/min and min/bucket, or kg/min */
  FG_Q_MASS_RATE,     /* kg/s; people: lb/h or kg/h */
  FG_Q_GOLD_RATE,     /* kg/s; people: g/h or mg/h */
  FG_Q_YARD_RATE,     /* m3/s; people: yd3/h or m3/h */
  FG_Q_GRADE,         /* kg/m3 in place; people: g/yd3 or g/m3 */
  FG_Q_CHARGE,        /* C/m2; people: uC/m2 */
  FG_Q_FUEL_RATE,     /* m3/s; people: gal/h or l/h */
  FG_Q_NOISE,         /* dBA, a plain number */
  FG_Q_STRENGTH,      /* Pa; people: kPa always */
  FG_Q_VOLUME,        /* m3; people: gal or l */
  FG_Q_GOLD_MASS,     /* kg; people: g always */
  FG_Q_DUST,          /* kg/m3; people: ug/m3 always */
  FG_Q_WATER_DEPTH,   /* m of rain or evaporation; people: in or mm */
  FG_Q_WATER_RATE,    /* m/s; people: in/day or mm/day */
  FG_Q_RADIATION,     /* W/m2, mean of a day; people: MJ/m2/day always */
  FG_Q_VAPOUR,        /* Pa, pressure of vapour; people: kPa always */
  FG_Q_COUNT
} fg_quantity;

typedef enum fg_unit_system { FG_UNITS_US = 0, FG_UNITS_SI } fg_unit_system;

/* Which basis a feed, a grade or a roughness was written in; resolved with the
 * other settings once all are known. */
typedef enum fg_basis {
  FG_BASIS_SI = 0, /* already in the internal unit */
  FG_BASIS_VOLUME, /* feed: loose m3/s */
  FG_BASIS_MASS,   /* grade: kg gold per kg ground */
  FG_BASIS_LENGTH  /* roughness: height in m */
} fg_basis;

/* How one kind is shown: a number of `unit`s. */
typedef struct fg_display {
  const char *unit; /* "" where the number stands alone */
  int digits;       /* significant digits for people */
} fg_display;

typedef struct fg_quantity_info {
  const char *name;    /* plain words, as in "a length" */
  const char *si_unit; /* the internal unit, in udunits' spelling; "1" for numbers */
  fg_display show[2];  /* indexed by fg_unit_system */
  const char *example; /* a value as a person would write it, e.g. "8 in" */
  const char *accepts; /* usual units a reader takes, in words: "in, ft, mm, cm, m" */
} fg_quantity_info;

/* What is known of a kind.  `q` outside the list returns the row of FG_Q_NUMBER. */
const fg_quantity_info *fg_quantity_of(fg_quantity q);

/* Writes `si` for people, number and unit ("5.2 in", "33 %", "20 deg (4 3/8 in per ft)",
 * "0.31 in (5/16)", "6.35 mm (1/4 in)"), into buffer (always terminated).  A value that is not
 * finite is written as "unknown".  Returns buffer. */
const char *fg_quantity_text(fg_quantity q, fg_unit_system units, double si, char *buffer,
                             size_t size);

/* Writes a standard deviation, given in SI, in the same units ("0.13 in", "3 F"), without any
 * offset; buffer as above. */
const char *fg_quantity_error_text(fg_quantity q, fg_unit_system units, double error_si,
                                   char *buffer, size_t size);

/* The number alone, in the unit fg_quantity_of(q)->show[units].unit. */
double fg_quantity_shown(fg_quantity q, fg_unit_system units, double si);

/* Splits "1 1/2 in" into number and unit and converts to the internal unit of
 * `quantity`, in double precision.  Numbers may be words ("half an inch"), lengths, times and
 * masses two parts ("2' 6\"", "1 min 30 s"), and a feed "a bucket every 2 minutes".  *basis (may be
 * NULL) receives an fg_basis for kinds with more than one.  FG_ESCENARIO when the text is no such
 * quantity: a sentence in message[size] says what is wrong and what would be right.  The first call
 * loads the unit system; not to be made from two threads at a time. */
fg_status fg_quantity_parse(const char *text, fg_quantity quantity, double *si, int *basis,
                            char *message, size_t size);

/* The same for a value that may be written with its error, one standard deviation: "8 in +-
 * 1/8 in", "0.8 +- 0.3 %", "250 Pa +- 10 %" (of the value, where % is no unit of the kind
 * itself).  *error receives it in the internal unit, temperatures without their offset, on
 * the basis of the value; 0 where none is written. */
fg_status fg_quantity_parse_measured(const char *text, fg_quantity quantity, double *si,
                                     double *error, int *basis, char *message, size_t size);

#ifdef __cplusplus
}
#endif

#endif
