/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_MACHINE_H
#define FLOURGOLD_MACHINE_H

#include <stdbool.h>

#include "flourgold/air.h"
#include "flourgold/bed.h"
#include "flourgold/blower.h"
#include "flourgold/packing.h"
#include "flourgold/scenario.h"
#include "flourgold/shaker.h"
#include "flourgold/sinking.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What the machine does with a scenario: air, shake and bed in balance.  Read-only facts
 * of the ground and the day come first, the state at the running depth after them. */

typedef struct fg_fill {
  double open_m;    /* mean depth of the standing sand in the open strip of a pitch */
  double quiet_m;   /* in the quiet strip behind the riffle */
  double volume_m3; /* behind one riffle, whole width */
} fg_fill;

/* Air and shake at one depth of the moving bed. */
typedef struct fg_operating {
  double depth_m;   /* over the open strips, as it flows, loosened */
  double settled_m; /* of the same grains at rest */
  double box_pressure_pa;
  double blower_pressure_pa; /* total, at the blower */
  double blower_flow_m3_s;   /* all air through the hose */
  double gate_flow_m3_s;
  double leak_flow_m3_s;
  double open_velocity_m_s; /* superficial, open strips */
  double quiet_velocity_m_s;
  double support_open, support_quiet, support_mean; /* of a bed at rest, 0-1 */
  double support_flowing;                           /* of the bed that moves over open strips */
  double gravel_kg;                                 /* riding on the deck */
  fg_fill fill;
  fg_shake shake;
  double capacity_kg_s; /* what a bed of this depth carries off */
} fg_operating;

typedef struct fg_machine {
  /* the day and the ground */
  fg_air air;
  double grain_density_kg_m3; /* mean of quartz and magnetite */
  double screen_share;        /* share of the gravel finer than the screen */
  double screen_blinded;      /* share of that which damp keeps on the screen */
  double clods;               /* share lost as clods */
  double feed_sauter_m;       /* harmonic mean grain as fed */
  double sauter_m, voidage;   /* of the bed: as fed, less the dust blown off */
  double sand_left;           /* share of the deck's feed not blown off, mean along the deck */
  double free_water;          /* at the head of the deck */
  double bed_top_m;           /* largest grain that passes the screen */
  double feed_kg_s;           /* onto the screen */
  double deck_feed_kg_s;      /* onto the deck */
  fg_packing packing;
  fg_fan fan;
  double fan_free_volume_m3_s;
  double fluidising_m_s; /* by Ergun at this slope */
  double wen_yu_m_s;
  double cohesion_pa;

  /* the balance */
  bool stalled;
  bool thin;              /* the deck is not covered: the bed is one grain deep */
  double capacity_margin; /* largest capacity over the feed, less 1 */
  fg_operating at;        /* at the running depth; stalled: at the depth of most capacity */

  /* the moving bed at the running depth; NaN when stalled */
  double bed_speed_m_s, shear_1_s, viscosity_pa_s; /* over the open strips */
  double residence_s;                              /* on the deck, open and quiet strips */
  double coverage; /* share of the deck that the bed covers: 1 unless thin */
  fg_bed bed;
  fg_sinking sinking;
  fg_strip strip[2]; /* open, quiet */
  double mixing_m2_s[2];
  double omega_1_s;
} fg_machine;

/* Solves the machine of a resolved scenario: the depth at which the bed carries off what is fed,
 * with the air and the shake that go with it.  FG_OK also when the deck stalls (machine->stalled
 * says so); FG_EDOMAIN when a value lies outside a law's range, FG_ENOROOT when the air circuit has
 * no operating point (the blower cannot hold the box above the outside). */
fg_status fg_machine_solve(const fg_scenario *scenario, fg_machine *machine);

#ifdef __cplusplus
}
#endif

#endif
