/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/shaker.h"

#include <math.h>

#include "flourgold/air.h"
#include "physics/shaking.h"

/* Square of the denominator that both responses share. */
static double resonance_square(double r, double z) {
  const double off = 1.0 - r * r, damped = 2.0 * z * r;
  return off * off + damped * damped;
}

fg_status fg_unbalance_response(double ratio, double damping, double *response) {
  if (!(ratio >= 0.0 && damping >= 0.0) || !isfinite(ratio))
    return FG_EDOMAIN;
  const double square = resonance_square(ratio, damping);
  if (square <= 0.0)
    return FG_EDOMAIN;
  *response = ratio * ratio / sqrt(square);
  return FG_OK;
}

fg_status fg_transmissibility(double ratio, double damping, double *transmissibility) {
  if (!(ratio >= 0.0 && damping >= 0.0) || !isfinite(ratio))
    return FG_EDOMAIN;
  const double square = resonance_square(ratio, damping);
  if (square <= 0.0)
    return FG_EDOMAIN;
  const double damped = 2.0 * damping * ratio;
  *transmissibility = sqrt((1.0 + damped * damped) / square);
  return FG_OK;
}

fg_status fg_shaker_stroke(double mass_kg, double gravel_kg, double unbalance_kg_m,
                           double natural_hz, double damping, double speed_hz, fg_shake *shake) {
  if (!(mass_kg > 0.0 && gravel_kg >= 0.0 && natural_hz > 0.0 && speed_hz >= 0.0))
    return FG_EDOMAIN;
  const double laden = mass_kg + gravel_kg, lighter = sqrt(mass_kg / laden);
  double response;
  const fg_status status =
      fg_unbalance_response(speed_hz / (natural_hz * lighter), damping * lighter, &response);
  if (status != FG_OK)
    return status;
  const double omega = 2.0 * M_PI * speed_hz;
  shake->speed_hz = speed_hz;
  shake->amplitude_m = unbalance_kg_m / laden * response;
  shake->gamma = shake->amplitude_m * omega * omega / FG_GRAVITY;
  return FG_OK;
}

/* Half a period of slip over a deck whose acceleration is sin t and velocity -cos t. */
typedef struct slip {
  double from, to; /* t */
} slip;

/* friction < 1: over the deck's peak acceleration.  Strong shakes leave no time to stick. */
static slip half_slip(double friction) {
  const double turn = 0.5 * M_PI * friction;
  if (turn * turn + friction * friction < 1.0)
    return (slip){acos(turn), acos(turn) + M_PI};
  const double from = asin(friction);
  double to = from + M_PI;
  /* The speed is convex there, so Newton's method comes down to its zero from above. */
  for (int step = 0; step < 60; ++step) {
    const double speed = friction * (to - from) + cos(to) - cos(from);
    const double next = to - speed / (friction - sin(to));
    if (!(next < to) || to - next < 1e-14)
      break;
    to = next;
  }
  return (slip){from, to};
}

/* Integrals of the load's speed over the deck, friction (t - from) + cos t - cos from, times sin t
 * and times cos t. */
static void slip_integrals(double friction, const slip *s, double t, double *sine, double *cosine) {
  const double line = friction * (t - s->from) - cos(s->from);
  *sine = -line * cos(t) + friction * sin(t) + 0.5 * sin(t) * sin(t);
  *cosine = line * sin(t) + friction * cos(t) + 0.5 * t + 0.25 * sin(2.0 * t);
}

double fg_slip_share(double gamma, double friction, double slope_rad) {
  const double pull = sin(slope_rad), square = friction * friction - pull * pull;
  if (square <= 0.0)
    return 1.0;
  const double across = sqrt(square) / gamma;
  if (!(gamma > 0.0 && across < 1.0))
    return 0.0;
  const slip s = half_slip(across);
  double sine[2], cosine[2];
  slip_integrals(across, &s, s.from, &sine[0], &cosine[0]);
  slip_integrals(across, &s, s.to, &sine[1], &cosine[1]);
  return M_2_PI * hypot(sine[1] - sine[0], cosine[1] - cosine[0]);
}
