/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SETTINGS_H
#define FLOURGOLD_SETTINGS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The settings table: the single truth about what a scenario file may hold.
 * Reading, range checks, `keys`, `check --effective` and the lists of what was
 * assumed all come from it. */

/* A row of the table, by the name of its key: FG_SET_RUN_FEED is "run.feed". */
typedef enum fg_setting_row {
  FG_SET_NONE = -1,
  /* site */
  FG_SET_SITE_NAME,
  FG_SET_SITE_ELEVATION,
  FG_SET_SITE_LATITUDE,
  FG_SET_SITE_AIR_TEMPERATURE,
  FG_SET_SITE_HUMIDITY,
  FG_SET_SITE_PRESSURE,
  /* ground */
  FG_SET_GROUND_MOISTURE,
  FG_SET_GROUND_CLAY,
  FG_SET_GROUND_CLODS,
  FG_SET_GROUND_BULK_DENSITY,
  FG_SET_GROUND_SWELL,
  FG_SET_GROUND_MEDIAN_GRAIN,
  FG_SET_GROUND_GRAIN_SPREAD,
  FG_SET_GROUND_GRAIN_SPHERICITY,
  FG_SET_GROUND_MAGNETITE,
  FG_SET_GROUND_MAGNETITE_MEDIAN,
  FG_SET_GROUND_MAGNETITE_SPREAD,
  FG_SET_GROUND_SIEVES,
  FG_SET_GROUND_BUCKET_WEIGHT,
  FG_SET_GROUND_JAR_SAND,
  FG_SET_GROUND_JAR_SILT,
  FG_SET_GROUND_JAR_CLAY,
  /* soil */
  FG_SET_SOIL_CLASS,
  FG_SET_SOIL_STONES,
  FG_SET_SOIL_FIELD_CAPACITY,
  FG_SET_SOIL_WILTING_POINT,
  FG_SET_SOIL_SATURATION,
  FG_SET_SOIL_DEPTH,
  FG_SET_SOIL_LAYER,
  FG_SET_SOIL_REW,
  FG_SET_SOIL_TEW,
  FG_SET_SOIL_SECOND_STAGE,
  /* gold */
  FG_SET_GOLD_GRADE,
  FG_SET_GOLD_DENSITY,
  FG_SET_GOLD_FINENESS,
  FG_SET_GOLD_THICKNESS_RATIO,
  FG_SET_GOLD_MEDIAN_SIZE,
  FG_SET_GOLD_SIZE_SPREAD,
  FG_SET_GOLD_CLASSES,
  FG_SET_GOLD_COUNTED_IN,
  /* screen */
  FG_SET_SCREEN_OPENING,
  /* deck */
  FG_SET_DECK_LENGTH,
  FG_SET_DECK_WIDTH,
  FG_SET_DECK_SLOPE,
  FG_SET_DECK_RIFFLES,
  FG_SET_DECK_RIFFLE_HEIGHT,
  FG_SET_DECK_SIDE_HEIGHT,
  FG_SET_DECK_DEAD_AIR_SHARE,
  FG_SET_DECK_DEAD_AIR_LEAK,
  FG_SET_DECK_CLOTH_PERMEABILITY,
  FG_SET_DECK_BOARD_OPEN_SHARE,
  FG_SET_DECK_STATIC_CHARGE,
  FG_SET_DECK_DROP_HEIGHT,
  FG_SET_DECK_AIR_DRYING,
  FG_SET_DECK_EMPTY_BOX_PRESSURE,
  /* shaker */
  FG_SET_SHAKER_MASS,
  FG_SET_SHAKER_UNBALANCE,
  FG_SET_SHAKER_NATURAL_FREQUENCY,
  FG_SET_SHAKER_DAMPING,
  FG_SET_SHAKER_RATED_SPEED,
  FG_SET_SHAKER_RATED_FLOW,
  FG_SET_SHAKER_LOSS,
  FG_SET_SHAKER_STROKE,
  FG_SET_SHAKER_SPEED,
  /* hose */
  FG_SET_HOSE_LENGTH,
  FG_SET_HOSE_DIAMETER,
  FG_SET_HOSE_ROUGHNESS,
  FG_SET_HOSE_LOSSES,
  FG_SET_HOSE_KIND,
  /* gate */
  FG_SET_GATE_AREA,
  FG_SET_GATE_LEAK_AREA,
  /* blower */
  FG_SET_BLOWER_NAME,
  FG_SET_BLOWER_KIND,
  FG_SET_BLOWER_FREE_VOLUME,
  FG_SET_BLOWER_NOZZLE_SPEED,
  FG_SET_BLOWER_CURVE,
  FG_SET_BLOWER_LABEL_AT,
  FG_SET_BLOWER_LABEL_DERATE,
  FG_SET_BLOWER_EFFICIENCY,
  FG_SET_BLOWER_FUEL_USE,
  FG_SET_BLOWER_MASS,
  FG_SET_BLOWER_NOISE,
  /* run */
  FG_SET_RUN_THROTTLE,
  FG_SET_RUN_GATE_OPENING,
  FG_SET_RUN_FEED,
  FG_SET_RUN_HOURS,
  FG_SET_RUN_CLEANING_INTERVAL,
  FG_SET_RUN_CLEANING_TIME,
  /* observed */
  FG_SET_OBSERVED_BOX_PRESSURE,
  FG_SET_OBSERVED_ROTOR_SPEED,
  FG_SET_OBSERVED_BED_DEPTH,
  FG_SET_OBSERVED_CROSSING_TIME,
  FG_SET_OBSERVED_GATE_STOP,
  FG_SET_OBSERVED_FULL_MINUTES,
  /* sample */
  FG_SET_SAMPLE_METHOD,
  FG_SET_SAMPLE_BUCKET,
  FG_SET_SAMPLE_MOST_BUCKETS,
  FG_SET_SAMPLE_GRAINS,
  FG_SET_SAMPLE_VISIBLE_SIZE,
  FG_SET_SAMPLE_CONFIDENCE,
  FG_SET_SAMPLE_THRESHOLD,
  FG_SET_SAMPLE_LEAVE_RATE,
  FG_SET_SAMPLE_STAY_RATE,
  FG_SET_SAMPLE_ALPHA,
  FG_SET_SAMPLE_BETA,
  FG_SET_SAMPLE_PRIOR_BUCKETS,
  /* limits */
  FG_SET_LIMITS_THROTTLE_LEAST,
  FG_SET_LIMITS_SLOPE_LEAST,
  FG_SET_LIMITS_SLOPE_MOST,
  FG_SET_LIMITS_FEED_LEAST,
  FG_SET_LIMITS_FEED_MOST,
  FG_SET_LIMITS_SCREENS,
  /* day */
  FG_SET_DAY_PEOPLE,
  FG_SET_DAY_LENGTH,
  FG_SET_DAY_SET_UP,
  FG_SET_DAY_WALK,
  FG_SET_DAY_LOAD,
  FG_SET_DAY_PACE,
  FG_SET_DAY_HOTTEST,
  FG_SET_DAY_SKY,
  FG_SET_DAY_DUST,
  FG_SET_DAY_FRAME,
  FG_SET_DAY_GEAR,
  /* closure */
  FG_SET_CLOSURE_PORE_EXPONENT,
  FG_SET_CLOSURE_EXCESS_AIR,
  FG_SET_CLOSURE_BED_VISCOSITY,
  FG_SET_CLOSURE_DILATION,
  FG_SET_CLOSURE_HEAP_SHEAR,
  FG_SET_CLOSURE_SHAKE_TRANSFER,
  FG_SET_CLOSURE_SHEAR_MIXING,
  FG_SET_CLOSURE_BUBBLE_MIXING,
  FG_SET_CLOSURE_SHAKE_MIXING,
  FG_SET_CLOSURE_SIEVING,
  FG_SET_CLOSURE_STOKES_FACTOR,
  FG_SET_CLOSURE_FRICTION_STATIC,
  FG_SET_CLOSURE_FRICTION_RISE,
  FG_SET_CLOSURE_INERTIAL_NUMBER,
  FG_SET_CLOSURE_SHUTOFF_RATIO,
  FG_SET_CLOSURE_BOND_STRENGTH,
  FG_SET_CLOSURE_BOND_MOISTURE,
  FG_SET_CLOSURE_RELEASE,
  FG_SET_CLOSURE_CLOD_CLAY,
  FG_SET_CLOSURE_CLOD_STRENGTH,
  FG_SET_CLOSURE_POCKET_CREEP,
  FG_SET_CLOSURE_DRAG_LAW,
  FG_SET_CLOSURE_SIEVING_LAW,
  FG_SETTINGS
} fg_setting_row;

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

/* What the table says of a row 0 to FG_SETTINGS - 1; NULL for any other.  It stays as long as the
 * program runs. */
const fg_setting *fg_setting_of(int row);

/* Row of a key that somebody typed, "group.name", or FG_SET_NONE. */
int fg_setting_find(const char *key);

/* Whether the value of a row was put there by the user or a catalogue; no for a row that is none.
 */
bool fg_setting_given(const fg_scenario *scenario, int row);

/* The value a scenario has for a setting as a number: SI, a whole number, the index of a choice, 0
 * or 1 for no or yes; NaN for texts and lists, and for a number that nobody gave or derived. */
double fg_setting_value(const fg_setting *setting, const fg_scenario *scenario);

/* The same for people ("8 in", "5", "yes", "two_stroke", "12 size classes"); "none" for an empty
 * text or list, "unknown" for a number nobody gave or derived; behind it its error and the reading
 * it follows from, where there are such.  Returns buffer (always terminated). */
const char *fg_setting_text(const fg_setting *setting, const fg_scenario *scenario,
                            fg_unit_system units, char *buffer, size_t size);

#ifdef __cplusplus
}
#endif

#endif
