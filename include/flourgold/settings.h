/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SETTINGS_H
#define FLOURGOLD_SETTINGS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* The settings table: the single truth about what a scenario file may hold.
 * Reading, range checks, `keys`, `check --effective` and the lists of what was
 * assumed all come from it. */

typedef enum fg_setting_type {
  FG_T_NUMBER = 0, /* double field; quantity says how it is written */
  FG_T_INTEGER,    /* int field */
  FG_T_BOOLEAN,    /* bool field */
  FG_T_TEXT,       /* char[FG_TEXT_MAX] field */
  FG_T_CHOICE,     /* int field: index into choices */
  FG_T_CLASSES,    /* gold.classes */
  FG_T_CURVE,      /* blower.curve */
  FG_T_SIEVES      /* ground.sieves */
} fg_setting_type;

typedef struct fg_setting {
  const char *key; /* "group.name" */
  fg_setting_type type;
  fg_quantity quantity; /* for FG_T_NUMBER */
  size_t offset;        /* of the field in fg_scenario */
  size_t basis_offset;  /* of the int that notes the basis; 0 where there is one only */
  bool required;
  double standard;                /* default, SI; NaN: derived or none (see standard_text) */
  const char *standard_text;      /* for texts, choices and derived defaults; NULL otherwise */
  double lowest, highest;         /* allowed range, SI, both ends allowed */
  double likely_low, likely_high; /* honest doubt of an assumed value, SI; NaN: none */
  const char *const *choices;     /* NULL-terminated, for FG_T_CHOICE */
  const char *basis;              /* what exactly the number counts; "" where the meaning says it */
  const char *meaning;
  const char *source;
} fg_setting;

extern const fg_setting fg_settings[];
extern const size_t fg_settings_count;

/* Row of a key, or -1. */
int fg_setting_find(const char *key);

/* The key nearest in spelling to `key` among the table's rows, or NULL when
 * nothing is close. */
const char *fg_setting_nearest(const char *key);

/* Fills *scenario with every default; required numbers are NaN (integers 0). */
void fg_scenario_default(fg_scenario *scenario);

double *fg_setting_number(const fg_setting *setting, fg_scenario *scenario);
double fg_setting_value(const fg_setting *setting, const fg_scenario *scenario);

/* Derives what was left open (pressure from elevation, density from fineness,
 * feed and grade on their fixed basis, clods, catalogue values ...).  Pure
 * arithmetic, no files; called again after a field has been changed by a study. */
fg_status fg_scenario_resolve(fg_scenario *scenario);

/* Puts another number (SI) in place of what is believed of a setting and resolves again; where
 * the running machine was read at it (as_run), it counts for the readings too. */
fg_status fg_scenario_correct(fg_scenario *scenario, int row, double value);

#endif
