/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SINKING_H
#define FLOURGOLD_SINKING_H

#include "flourgold/bed.h"
#include "flourgold/drag.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What the grains of the moving bed are, and the closures of sinking. */
typedef struct fg_sinking {
  fg_gas gas;
  fg_grain bed_grain; /* Sauter size, mean density, mean shape */
  double slope_rad;
  double fluidising_m_s;
  double pore_exponent; /* m: slip = air / voidage^m for grains much finer than the bed */
  double excess_air;    /* share of the air above fluidising that stays between grains */
  double stokes_factor; /* c of c pi eta dv w */
  double sieving_constant;
  int drag_law, sieving_law;
  double shear_mixing, bubble_mixing, shake_mixing;
} fg_sinking;

/* One strip of the deck: the open part of a pitch or the quiet part behind a riffle. */
typedef struct fg_strip {
  double velocity_m_s;   /* superficial air */
  double settled_m;      /* depth of the moving bed, were its grains at rest */
  double depth_m;        /* as it flows */
  double speed_m_s;      /* mean speed of the grains */
  double support;        /* share of the bed's weight this air carries */
  double voidage;        /* of the bed as it flows, at mid depth */
  double normal_pa;      /* at mid depth, less what the air carries */
  double overburden_pa;  /* at mid depth, whole */
  double total_1_s;      /* shear rate at mid depth */
  double viscosity_pa_s; /* at mid depth; infinite when the bed rests */
  /* filled by fg_sinking_prepare() */
  double effective_m_s; /* air that flows between the grains */
  double bubble_m_s;    /* air that rises as bubbles */
  double bed_exponent;  /* m of a bed grain: it is just carried as far as the support says */
} fg_strip;

#ifdef __cplusplus
}
#endif

#endif
