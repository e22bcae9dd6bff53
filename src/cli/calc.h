/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_CALC_H
#define FG_CLI_CALC_H

#include <stdbool.h>
#include <stddef.h>

#include "cli/cli.h"
#include "core/text.h"
#include "flourgold/complaints.h"
#include "flourgold/drag.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "physics/laws.h"

/* The formulas of `calc`.  One is a fg_calc (name, title, inputs, outputs, source) with its
 * function, in a calc_*.c file by subject, and a name in calc_formulas.h; reading, checking,
 * help and reports come from that. */

enum {
  FG_CALC_INPUTS = 16,
  FG_CALC_OUTPUTS = 16,
  FG_CALC_FALLBACKS = 9,
  FG_CALC_PAIRS = 32,
  FG_CALC_PART = 32
};

typedef enum fg_calc_kind {
  FG_CALC_NUMBER = 0,
  FG_CALC_CHOICE,  /* a word of `choices`; its value is the index */
  FG_CALC_MINERAL, /* the name of a mineral; its value is the row of fg_minerals */
  FG_CALC_DATE     /* a day of the year, 1 to 366, as fg_date_season() reads it */
} fg_calc_kind;

typedef enum fg_calc_need {
  FG_CALC_OPTIONAL = 0, /* not given: the function decides; `otherwise` says how */
  FG_CALC_NEEDED,
  FG_CALC_STANDARD /* not given: `standard` is assumed */
} fg_calc_need;

typedef struct fg_calc_input {
  const char *name; /* its ending must not be that of a data unit: inputs are shown in SI */
  fg_quantity quantity;
  fg_calc_kind kind;
  fg_calc_need need;
  double standard;
  double lowest, highest;     /* allowed, SI, ends included */
  const char *const *choices; /* ended by NULL */
  /* Inputs with the same word here stand for one another: at most one may be given, and when
   * one of them is FG_CALC_NEEDED, one must be. */
  const char *instead;
  const char *otherwise;
  const char *meaning;
} fg_calc_input;

typedef struct fg_calc_output {
  const char *name; /* of the data; the ending carries the unit */
  const char *label;
  fg_quantity quantity;
} fg_calc_output;

typedef struct fg_calc_work fg_calc_work;

typedef struct fg_calc {
  const char *name;
  const char *title;
  fg_calc_input inputs[FG_CALC_INPUTS];    /* up to the first without a name */
  fg_calc_output outputs[FG_CALC_OUTPUTS]; /* the same */
  /* What any other name=value arguments are, for help and messages; NULL: there are none. */
  const char *pairs;
  const char *source;
  const char *example; /* arguments */
  /* Reads values, sets every output.  Not FG_OK after fg_calc_refuse(), or with the reason
   * why there is no answer. */
  fg_status (*work)(fg_calc_work *work);
} fg_calc;

extern const fg_calc *const fg_calcs[];
extern const size_t fg_calcs_count;

typedef enum fg_calc_origin {
  FG_CALC_ABSENT = 0,
  FG_CALC_GIVEN,
  FG_CALC_ASSUMED, /* a default */
  FG_CALC_DERIVED  /* worked out from what was given */
} fg_calc_origin;

/* One formula being worked. */
struct fg_calc_work {
  const fg_calc *formula;
  double values[FG_CALC_INPUTS];
  fg_calc_origin origins[FG_CALC_INPUTS];
  double results[FG_CALC_OUTPUTS]; /* NaN until set */
  const char *source;              /* the formula's, unless the function names another */
  char note[240];
  const char *fallbacks[FG_CALC_FALLBACKS];   /* what stood in for values not given; ends at NULL */
  char pairs[FG_CALC_PAIRS][2][FG_CALC_PART]; /* as written, in order */
  size_t pair_count;
  bool refused; /* there are faults */
  fg_complaints faults;
};

/* ---- for the functions of formulas ---- */

/* Value (SI, or index of a word) of an input; NaN when it is absent. */
double fg_calc_value(const fg_calc_work *work, const char *name);
/* Whether the user gave it. */
bool fg_calc_given(const fg_calc_work *work, const char *name);
/* Fills in an absent input, so that the report lists it. */
void fg_calc_fill(fg_calc_work *work, const char *name, double value, fg_calc_origin origin);
/* Sets an output; where it stands, for a function that sets it by pointer. */
void fg_calc_result(fg_calc_work *work, const char *name, double value);
double *fg_calc_place(fg_calc_work *work, const char *name);
/* Adds a fault for the user; returns FG_ESCENARIO. */
fg_status fg_calc_refuse(fg_calc_work *work, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* A value as a person would write it. */
const char *fg_calc_text(const fg_calc_input *input, double value, char *buffer, size_t size);

/* ---- inputs that several formulas share (calc_shared.c) ---- */

/* clang-format off */
#define FG_CALC_GAS                                                                                \
  {"gas_density", FG_Q_GAS_DENSITY, .lowest = 1e-3, .highest = 2000.0,                             \
   .otherwise = "of dry air at 20 C and 101325 Pa", .meaning = "density of the gas"},              \
  {"viscosity", FG_Q_VISCOSITY, .lowest = 1e-7, .highest = 1e3,                                    \
   .otherwise = "of dry air at 20 C", .meaning = "dynamic viscosity of the gas"}
#define FG_CALC_PLACE                                                                              \
  {"elevation", FG_Q_DISTANCE, .lowest = -5000.0, .highest = 30000.0, .instead = "pressure",       \
   .otherwise = "sea level, unless pressure is given",                                             \
   .meaning = "height above sea level; sets the pressure"},                                        \
  {"temperature", FG_Q_TEMPERATURE, .lowest = 203.15, .highest = 398.15,                            \
   .otherwise = "the standard atmosphere's at that elevation", .meaning = "of the air"},           \
  {"humidity", FG_Q_PERCENT, .highest = 1.0, .otherwise = "0 %", .meaning = "relative humidity"},  \
  {"pressure", FG_Q_BAROMETER, .lowest = 1e3, .highest = 2e5, .instead = "pressure",               \
   .otherwise = "the standard atmosphere's at that elevation",                                     \
   .meaning = "measured on the spot, not reduced to sea level"}
#define FG_CALC_DENSITY(need_)                                                                     \
  {"density", FG_Q_METAL_DENSITY, .need = (need_), .lowest = 100.0, .highest = 25000.0,              \
   .instead = "density", .otherwise = "17.5 g/cm3, native gold",                                   \
   .meaning = "of the grain"}
#define FG_CALC_FINENESS                                                                           \
  {"fineness", FG_Q_SHARE, .highest = 1.0, .instead = "density",                                   \
   .meaning = "share of gold in native gold, the rest silver; gives the density"}
#define FG_CALC_OF_MINERAL                                                                         \
  {"mineral", .kind = FG_CALC_MINERAL, .instead = "density",                                       \
   .meaning = "gives the density, and the sphericity where that matters and is not given"}
#define FG_CALC_SPHERICITY(otherwise_)                                                             \
  {"sphericity", FG_Q_NUMBER, .lowest = 0.027, .highest = 1.0, .instead = "shape",                  \
   .otherwise = (otherwise_),                                                                      \
   .meaning = "surface of the equal-volume sphere over that of the grain"}
#define FG_CALC_THICKNESS_RATIO(need_)                                                             \
  {"thickness_ratio", FG_Q_NUMBER, .need = (need_), .lowest = 0.001, .highest = 1.0,                 \
   .instead = "shape",                                                                             \
   .meaning = "thickness over diameter of a disc"}
#define FG_CALC_LAW                                                                                \
  {"law", .kind = FG_CALC_CHOICE, .need = FG_CALC_STANDARD, .standard = FG_DRAG_HAIDER_LEVENSPIEL, \
   .choices = fg_drag_law_names, .meaning = "law of drag"}
/* clang-format on */

/* The gas from gas_density and viscosity, each as given or that of dry air at 20 C. */
void fg_calc_plain_gas(fg_calc_work *work, fg_gas *gas);

/* Air from elevation, temperature, humidity and pressure, with their defaults filled in. */
struct fg_air;
fg_status fg_calc_air(fg_calc_work *work, struct fg_air *air);

/* Fills in `density` from fineness, from mineral, or as that of native gold. */
fg_status fg_calc_density(fg_calc_work *work, double *density_kg_m3);

/* Fills in `sphericity` from thickness_ratio; without either a sphere, or the shape of the
 * mineral that was named. */
fg_status fg_calc_shape(fg_calc_work *work, fg_shape *shape);

/* Whether a drag law covers this shape and Reynolds number; refuses with its range if not. */
fg_status fg_calc_law_covers(fg_calc_work *work, int law, double sphericity, double reynolds);

/* ---- between cmd_calc.c and its parts ---- */

/* Row of a formula's input, or -1. */
int fg_calc_input_find(const fg_calc *formula, const char *name);
size_t fg_calc_input_count(const fg_calc *formula);

/* Adds meaning, range and default of an input in one sentence without a full stop. */
void fg_calc_describe(fg_text *text, const fg_calc *formula, const fg_calc_input *input);

/* Reads "key=value" words into *work (calc_read.c), every fault into work->faults. */
void fg_calc_read(fg_calc_work *work, const char *const *words, size_t count);

/* Reports (calc_show.c). */
fg_report *fg_calc_report_list(void);
fg_report *fg_calc_report_help(const fg_calc *formula);
fg_report *fg_calc_report_result(const fg_calc_work *work, bool explain);

#endif
