/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SINK_H
#define FLOURGOLD_SINK_H

#include "flourgold/drag.h"
#include "flourgold/sinking.h"
#include "flourgold/status.h"

/* How a grain sinks through the moving bed of a strip. */

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

#endif
