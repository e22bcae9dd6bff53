/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SINKING_H
#define FLOURGOLD_SINKING_H

#include "flourgold/bed.h"
#include "flourgold/drag.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What the grains of the moving bed are, and the closures of sinking. */
typedef struct fg_sinking {
  fg_gas gas;
  fg_grain bed_grain; /* Sauter size, mean density, mean shape */
  double voidage;
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
  double support;        /* share of the bed's weight this air carries */
  double normal_pa;      /* at mid depth, less what the air carries */
  double overburden_pa;  /* at mid depth, whole */
  double total_1_s;      /* shear rate at mid depth */
  double viscosity_pa_s; /* at mid depth; infinite when the bed rests */
  /* filled by fg_sinking_prepare() */
  double effective_m_s; /* air that flows between the grains */
  double bubble_m_s;    /* air that rises as bubbles */
  double bed_exponent;  /* m of a bed grain: it is just carried as far as the support says */
} fg_strip;

/* Fills the last three fields.  The exponent of a grain of the bed's own size is solved so
 * that its drag is `support` times its weight across the slope: a bed grain then neither
 * sinks nor rises, at any air. */
fg_status fg_sinking_prepare(const fg_sinking *sinking, fg_strip *strip);

/* Force of the air and the bed's buoyancy on a grain, and how fast it sinks (m/s, positive
 * down) in this strip.  Model; parts from Tripathi & Khakhar, J. Fluid Mech. 717:643, 2013,
 * Jing et al., J. Fluid Mech. 948:A24, 2022 (granular Stokes drag), and the sieving law. */
fg_status fg_sinking_speed(const fg_sinking *sinking, const fg_strip *strip, const fg_grain *grain,
                           double *speed_m_s);

/* Slip (m/s) of the air past a grain in the pores of a strip. */
double fg_sinking_slip(const fg_sinking *sinking, const fg_strip *strip, double dv_m);

/* Mixing coefficient (m2/s) across the bed: shear, bubbles, shaking.
 * Source of the first: Utter & Behringer, Phys. Rev. E 69:031308, 2004; the others: model. */
double fg_sinking_mixing(const fg_sinking *sinking, const fg_strip *strip, double depth_m,
                         double stroke_m, double omega_1_s);

#ifdef __cplusplus
}
#endif

#endif
