/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SCENARIO_H
#define FLOURGOLD_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>

/* A scenario: site, ground, gold, machine, blower and settings in plain SI
 * fields.  The settings table (settings.h) names every field, its unit, default,
 * range, basis and meaning; fg_scenario_default() fills the struct from it.
 * A number that is not given and has no fixed default is NaN until
 * fg_scenario_resolve() derives it. */

enum {
  FG_TEXT_MAX = 256,       /* bytes of a text setting, terminator included */
  FG_GOLD_CLASSES_MAX = 200,
  FG_CURVE_MAX = 64,
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

typedef struct fg_curve_point {
  double volume_m3_s;
  double pressure_pa;
} fg_curve_point;

typedef enum fg_blower_kind {
  FG_BLOWER_TWO_STROKE = 0,
  FG_BLOWER_FOUR_STROKE,
  FG_BLOWER_BATTERY,
  FG_BLOWER_MAINS
} fg_blower_kind;

typedef enum fg_label_at { FG_LABEL_NOZZLE = 0, FG_LABEL_OPEN } fg_label_at;
typedef enum fg_counted_in { FG_COUNTED_GROUND = 0, FG_COUNTED_TRAY } fg_counted_in;

/* Which basis a feed, a grade or a roughness was written in; resolved with the
 * other settings once all are known. */
typedef enum fg_basis {
  FG_BASIS_SI = 0,   /* already in the internal unit */
  FG_BASIS_VOLUME,   /* feed: loose m3/s */
  FG_BASIS_MASS,     /* grade: kg gold per kg ground */
  FG_BASIS_LENGTH    /* roughness: height in m */
} fg_basis;

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
    double moisture;        /* water over dry mass, of what passes the screen */
    double clay;            /* mass share of what passes the screen */
    double clods;           /* mass share that goes over the tail as clods; derived */
    double bulk_density;    /* kg/m3, loose */
    double swell;           /* loose volume over in-place volume */
    double median_grain;    /* m, by mass, of the shovelled gravel */
    double grain_spread;    /* geometric standard deviation */
    double grain_sphericity;
    double magnetite;       /* mass share of what passes the screen */
    double magnetite_median;/* m */
    double magnetite_spread;
  } ground;

  struct {
    double grade;           /* kg/m3 in place after resolving */
    int grade_basis;        /* fg_basis */
    double grade_mass;      /* the value as given per mass, kept for resolving again */
    double density;         /* kg/m3; derived from fineness when that is given */
    double fineness;        /* 0-1 */
    double thickness_ratio; /* disc thickness over diameter */
    double median_size;     /* m, by mass */
    double size_spread;
    size_t class_count;     /* classes as given; 0: built from median and spread */
    fg_size_class classes[FG_GOLD_CLASSES_MAX];
    int counted_in;         /* fg_counted_in */
  } gold;

  struct {
    double opening;         /* m, square */
  } screen;

  struct {
    double length, width;      /* m */
    double slope;              /* rad */
    int riffles;
    double riffle_height;      /* m */
    double side_height;        /* m */
    double dead_air_share;     /* share of the pitch behind a riffle where the board is closed */
    double dead_air_leak;      /* air there over air in the open strip */
    double cloth_permeability; /* m/s at 125 Pa */
    double board_open_share;
    double static_charge;      /* C/m2 */
    double drop_height;        /* m */
    double fill_angle;         /* rad to the horizontal */
    bool air_drying;           /* the deck's air dries the feed on its way */
  } deck;

  struct {
    double mass;              /* kg */
    double unbalance;         /* kg m */
    double natural_frequency; /* Hz */
    double damping;           /* ratio */
    double rated_speed;       /* Hz */
    double rated_flow;        /* m3/s */
    double loss;              /* velocity heads of the hose lost in the rotor */
  } shaker;

  struct {
    double length, diameter;  /* m */
    double roughness;         /* height over diameter after resolving */
    int roughness_basis;      /* fg_basis */
    double roughness_height;  /* m, the value as given, kept for resolving again */
    double losses;            /* velocity heads: bends, couplings, entry */
  } hose;

  struct {
    double area, leak_area;   /* m2 */
  } gate;

  struct {
    char name[FG_TEXT_MAX];   /* catalogue name, or "" for a group */
    int kind;                 /* fg_blower_kind */
    double free_volume;       /* m3/s */
    double nozzle_speed;      /* m/s */
    size_t curve_count;       /* 0: the curve follows from the label */
    fg_curve_point curve[FG_CURVE_MAX];
    int label_at;             /* fg_label_at */
    double label_derate;
    double efficiency;        /* air power over shaft power: warms the air */
    double fuel_use;          /* m3/s at full throttle */
    double mass;              /* kg */
    double noise;             /* dBA */
  } blower;

  struct {
    double throttle;          /* fan speed over its greatest */
    double gate_opening;      /* share of the gate's area */
    double feed;              /* kg/s of loose gravel onto the screen, after resolving */
    int feed_basis;           /* fg_basis */
    double feed_volume;       /* m3/s, the value as given, kept for resolving again */
    double hours;             /* s */
    double cleaning_interval; /* s of running between cleanings */
    double cleaning_time;     /* s */
  } run;

  struct {
    double pore_exponent, excess_air, bed_viscosity, shake_transfer;
    double shear_mixing, bubble_mixing, shake_mixing;
    double sieving, stokes_factor;
    double friction_static, friction_rise, inertial_number;
    double shutoff_ratio, bond_strength, bond_moisture, release;
    double clod_clay, clod_strength;
    int drag_law;             /* index into fg_drag_laws */
    int sieving_law;          /* index into fg_sieving_laws */
  } closure;

  unsigned char origin[FG_SETTINGS_MAX]; /* fg_origin by settings-table row */
} fg_scenario;

#endif
