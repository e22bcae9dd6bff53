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

double fg_slip_share(double gamma, double friction, double slope_rad) {
  const double pull = sin(slope_rad), square = friction * friction - pull * pull;
  if (square <= 0.0)
    return 1.0;
  const double left = 1.0 - square / (gamma * gamma);
  return gamma > 0.0 && left > 0.0 ? sqrt(left) : 0.0;
}
