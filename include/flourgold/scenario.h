/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SCENARIO_H
#define FLOURGOLD_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/complaints.h"
#include "flourgold/kinds.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A scenario: site, ground, gold, machine, blower and settings in plain SI
 * fields.  The settings table (settings.h) names every field, its unit, default,
 * range, basis and meaning; fg_scenario_default() fills the struct from it.
 * A number that is not given and has no fixed default is NaN until
 * fg_scenario_resolve() derives it. */

enum {
  FG_TEXT_MAX = 256, /* bytes of a text setting, terminator included */
  FG_GOLD_CLASSES_MAX = 200,
  FG_SIEVES_MAX = 24,
  FG_SETTINGS_MAX = 160
};

typedef enum fg_origin {
  FG_FROM_DEFAULT = 0, /* assumed */
  FG_FROM_DERIVED,     /* worked out from other settings */
  FG_FROM_CATALOGUE,   /* from the blower catalogue */
  FG_FROM_FILE,        /* given in the scenario file */
  FG_FROM_SET          /* given by --set */
} fg_origin;

typedef struct fg_size_class {
  double lower_m; /* sieve aperture below */
  double upper_m; /* sieve aperture above */
  double share;   /* mass share of the gold, 0-1; all classes add to 1 */
} fg_size_class;

/* What stayed on one sieve of a stack. */
typedef struct fg_sieve_part {
  double opening_m; /* 0: the pan below the finest */
  double share;     /* of all that was sieved, 0-1 */
} fg_sieve_part;

typedef enum fg_hose_kind { FG_HOSE_SMOOTH = 0, FG_HOSE_RIBBED } fg_hose_kind;
typedef enum fg_label_at { FG_LABEL_NOZZLE = 0, FG_LABEL_OPEN } fg_label_at;
typedef enum fg_sample_method { FG_SAMPLE_DECK = 0, FG_SAMPLE_PAN } fg_sample_method;
typedef enum fg_counted_in { FG_COUNTED_GROUND = 0, FG_COUNTED_TRAY } fg_counted_in;

typedef struct fg_scenario {
  char file[FG_TEXT_MAX]; /* where it was read from; "" when built in memory */

  struct {
    char name[FG_TEXT_MAX];
    double elevation;       /* m */
    double latitude;        /* rad, north positive */
    double air_temperature; /* K */
    double humidity;        /* relative, 0-1 */
    double pressure;        /* Pa; derived from elevation when not given */
  } site;

  struct {
    double moisture;     /* water over dry mass, of what passes the screen */
    double clay;         /* mass share of what passes the screen */
    double clods;        /* mass share that goes over the tail as clods; derived */
    double bulk_density; /* kg/m3, loose */
    double swell;        /* loose volume over in-place volume */
    double median_grain; /* m, by mass, of the shovelled gravel */
    double grain_spread; /* geometric standard deviation */
    double grain_sphericity;
    double magnetite;        /* mass share of what passes the screen */
    double magnetite_median; /* m */
    double magnetite_spread;
    size_t sieve_count; /* sieves as measured, coarse to fine, the pan last; 0: none */
    fg_sieve_part sieves[FG_SIEVES_MAX];
    double sieve_shift; /* all openings times this, when a study doubts them; 0: 1 */
    /* Household readings; NaN when not given. */
    double bucket_weight;                /* kg of gravel in a level five-gallon bucket */
    double jar_sand, jar_silt, jar_clay; /* m, layers settled in a jar */
  } ground;

  struct {
    double grade;           /* kg/m3 in place after resolving */
    int grade_basis;        /* fg_basis */
    double grade_factor;    /* from the basis as written, as last resolved; 0: not yet */
    double density;         /* kg/m3; derived from fineness when that is given */
    double fineness;        /* 0-1 */
    double thickness_ratio; /* disc thickness over diameter */
    double median_size;     /* m, by mass */
    double size_spread;
    size_t class_count; /* classes as given; 0: built from median and spread */
    fg_size_class classes[FG_GOLD_CLASSES_MAX];
    int counted_in; /* fg_counted_in */
  } gold;

  struct {
    int class_index;       /* index into fg_soil_classes */
    double stones;         /* volume share coarser than FG_STONE_M; derived from grain sizes */
    double field_capacity; /* water by volume of the soil between the stones; derived from class */
    double wilting_point;  /* the same */
    double saturation;     /* by volume; derived from bulk density */
    double depth;          /* m, how deep the gravel is dug */
    double layer;          /* m, evaporation layer */
    double rew, tew;       /* m, readily and totally evaporable water of the layer */
    double second_stage;   /* m, drawn in the first day of the second stage of drying */
  } soil;

  struct {
    double opening; /* m, square */
  } screen;

  struct {
    double length, width; /* m */
    double slope;         /* rad */
    int riffles;
    double riffle_height;      /* m */
    double side_height;        /* m */
    double dead_air_share;     /* share of the pitch behind a riffle where the board is closed */
    double dead_air_leak;      /* air there over air in the open strip */
    double cloth_permeability; /* m/s at 125 Pa */
    double board_open_share;
    double static_charge;      /* C/m2 */
    double drop_height;        /* m */
    bool air_drying;           /* the deck's air dries the feed on its way */
    double empty_box_pressure; /* Pa, empty deck, gate shut, full throttle; NaN: not read */
  } deck;

  struct {
    double mass;              /* kg */
    double unbalance;         /* kg m */
    double natural_frequency; /* Hz */
    double damping;           /* ratio */
    double rated_speed;       /* Hz */
    double rated_flow;        /* m3/s */
    double loss;              /* velocity heads of the hose lost in the rotor */
    double stroke;            /* m, full line drawn by the running box; NaN: not read */
    double speed;             /* Hz, of the rotor at the settings in as_run; NaN: not read */
    /* Only while a reading is worked backwards: the shake as it is, 0 for the law's. */
    double held_speed;     /* Hz */
    double held_amplitude; /* m */
  } shaker;

  struct {
    double length, diameter; /* m */
    double roughness;        /* height over diameter after resolving */
    int roughness_basis;     /* fg_basis */
    double roughness_factor; /* from the basis as written, as last resolved; 0: not yet */
    double losses;           /* velocity heads: bends, couplings, entry */
    int kind;                /* fg_hose_kind, in place of roughness */
  } hose;

  struct {
    double area, leak_area; /* m2 */
  } gate;

  struct {
    char name[FG_TEXT_MAX]; /* catalogue name, or "" for a group */
    int kind;               /* fg_blower_kind */
    double free_volume;     /* m3/s */
    double nozzle_speed;    /* m/s */
    size_t curve_count;     /* 0: the curve follows from the label */
    fg_curve_point curve[FG_CURVE_MAX];
    int label_at; /* fg_label_at */
    double label_derate;
    double efficiency; /* air power over shaft power: warms the air */
    double fuel_use;   /* m3/s at full throttle */
    double mass;       /* kg */
    double noise;      /* dBA */
  } blower;

  struct {
    double throttle;          /* fan speed over its greatest */
    double gate_opening;      /* share of the gate's area */
    double feed;              /* kg/s of loose gravel onto the screen, after resolving */
    int feed_basis;           /* fg_basis */
    double feed_factor;       /* from the basis as written, as last resolved; 0: not yet */
    double hours;             /* s */
    double cleaning_interval; /* s of running between cleanings */
    double cleaning_time;     /* s */
  } run;

  /* What to count, and what it is to decide. */
  struct {
    int method;                   /* fg_sample_method */
    double bucket;                /* m3, loose */
    int most_buckets;             /* rows of the decide-as-you-go table */
    double grains;                /* colours wanted in the sample */
    double visible_size;          /* m, finest colour that is counted */
    double confidence;            /* of every interval */
    double threshold;             /* kg/m3 in place after resolving: a spot must beat it */
    int threshold_basis;          /* fg_basis */
    double threshold_factor;      /* from the basis as written, as last resolved; 0: not yet */
    double leave_rate, stay_rate; /* colours a bucket; NaN: from threshold */
    double alpha, beta;           /* chance to stay where one should leave, and the reverse */
    double prior_buckets;         /* what gold.grade counts for beside the buckets */
  } sample;

  /* The day around the run. */
  struct {
    int people;         /* who take turns at the shovel */
    double length;      /* s, from the car and back to it */
    double set_up;      /* s, unpacking and packing up */
    double walk;        /* s, one way */
    double load;        /* kg one person carries at a time */
    double pace;        /* kg/s one person digs and lifts all day, after resolving */
    int pace_basis;     /* fg_basis */
    double pace_factor; /* from the basis as written, as last resolved; 0: not yet */
    double hottest;     /* K in the shade; derived: site.air_temperature */
    int sky;            /* fg_sky */
    double dust;        /* kg/m3, respirable crystalline silica at the face */
    double frame;       /* kg: stand, hopper, screen and hose */
    double gear;        /* kg: tools, buckets, pans, tarp, first aid */
  } day;

  struct {
    double pore_exponent, excess_air, bed_viscosity, dilation, heap_shear, shake_transfer;
    double shear_mixing, bubble_mixing, shake_mixing;
    double sieving, stokes_factor;
    double friction_static, friction_rise, inertial_number;
    double shutoff_ratio, bond_strength, bond_moisture, release;
    double clod_clay, clod_strength, pocket_creep;
    int drag_law;    /* index into fg_drag_laws */
    int sieving_law; /* index into fg_sieving_laws */
  } closure;

  /* How far a search for better settings may go. */
  struct {
    double throttle_least;                      /* share */
    double slope_least, slope_most;             /* rad: what the legs allow */
    double feed_least, feed_most;               /* kg/s: what the shoveller keeps up */
    int feed_least_basis, feed_most_basis;      /* fg_basis */
    double feed_least_factor, feed_most_factor; /* as day.pace_factor */
    char screens[FG_TEXT_MAX];                  /* openings owned, with commas */
  } limits;

  /* What the owner saw on the running machine; NaN: not seen. */
  struct {
    double box_pressure;  /* Pa */
    double rotor_speed;   /* Hz */
    double bed_depth;     /* m */
    double crossing_time; /* s, of a pebble over the deck */
    double gate_stop;     /* share of the gate's area at which the bed stopped */
    double full_minutes;  /* s of running after a cleaning */
  } observed;

  /* The settings at which the running machine was read (shaker.stroke, shaker.speed,
   * observed.*): those of the file, whatever --set or a study changes afterwards. */
  struct {
    bool noted;
    double throttle, gate_opening, slope;
    double feed;
    int feed_basis;
    double feed_factor;
  } as_run;

  unsigned char origin[FG_SETTINGS_MAX]; /* fg_origin by settings-table row */
  /* One standard deviation of a value, SI, by settings-table row; 0: none is known.  A
   * reading has its usual one when none is written.  That of a row worked out from a
   * reading follows from the reading's: draw the reading, and resolve. */
  double error_of[FG_SETTINGS_MAX];
} fg_scenario;

/* Fills *scenario with every default; required numbers are NaN (integers 0).  To be completed and
 * resolved. */
void fg_scenario_default(fg_scenario *scenario);

/* Reads a scenario: defaults, then the file, then each "group.key=value" of
 * `sets`, then resolving and range checks.  Every fault found is reported in
 * *complaints, not just the first.  FG_ESCENARIO when there is any, FG_EIO when
 * the file cannot be read, FG_EMEMORY; each with a complaint.  With FG_OK there may be lines too:
 * remarks on values that are allowed and hardly meant, ".. is unlikely: ..".  sets may be NULL when
 * set_count is 0.  Not to be called from two threads at a time. */
fg_status fg_scenario_read(const char *path, const char *const *sets, size_t set_count,
                           fg_scenario *out, fg_complaints *complaints);

/* The same as fg_scenario_read() for a scenario in memory; `path` stands for it in messages,
 * and a blower catalogue is looked for beside it. */
fg_status fg_scenario_read_text(const char *path, const char *text, fg_scenario *out,
                                fg_complaints *complaints);

/* Derives what was left open (pressure from elevation, density from fineness,
 * feed and grade on their fixed basis, clods, catalogue values ...).  Pure
 * arithmetic, no files; to be called again after a change: a number that was given, or assumed, and
 * then changed stays changed; one that is derived is derived again (fg_scenario_set() gives it).
 * Ranges are those of reading, and not looked at again.  FG_EDOMAIN, FG_ENOROOT and FG_ESCENARIO
 * where the settings do not go together; *scenario is then half resolved. */
fg_status fg_scenario_resolve(fg_scenario *scenario);

/* Puts a number (SI) into a row of numbers as if it were given so: it is not derived again, and
 * does not move with other settings.  row: an fg_setting_row.  Resolve afterwards.  FG_EDOMAIN for
 * a row of another type, or none; the setting's range is not looked at. */
fg_status fg_scenario_set(fg_scenario *scenario, int row, double value);

/* As fg_scenario_set(), of a row that keeps the basis it was written on: a feed written as a
 * volume still moves with a bulk density that changes before or after. */
fg_status fg_scenario_draw(fg_scenario *scenario, int row, double value);

#ifdef __cplusplus
}
#endif

#endif
