/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/evaporation.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const double water_kg_m3 = 1000.0;
static const double latent_heat_j_kg = 2.45e6; /* FAO-56, annex 3 */

fg_status fg_evaporation_reduction(double tew_m, double rew_m, double depletion_m, double *kr) {
  if (!(rew_m >= 0.0) || !(rew_m < tew_m) || !(depletion_m >= 0.0) || !(depletion_m <= tew_m))
    return FG_EDOMAIN;
  *kr = depletion_m <= rew_m ? 1.0 : (tew_m - depletion_m) / (tew_m - rew_m);
  return FG_OK;
}

fg_status fg_layer_step(const fg_layer_day *day, fg_layer_result *result) {
  if (!(day->rain_m >= 0.0) || !isfinite(day->et0_m) || !(day->kc_max >= day->kcb) ||
      !(day->kcb >= 0.0) || !(day->exposed > 0.0) || !(day->exposed <= 1.0))
    return FG_EDOMAIN;
  fg_layer_result r = {0};
  const double wetted = fmax(0.0, day->depletion_m - day->rain_m);
  const fg_status status = fg_evaporation_reduction(day->tew_m, day->rew_m, wetted, &r.kr);
  if (status != FG_OK || !(day->depletion_m <= day->tew_m))
    return FG_EDOMAIN;
  r.percolation_m = fmax(0.0, day->rain_m - day->depletion_m);
  r.ke = fmin(r.kr * (day->kc_max - day->kcb), day->exposed * day->kc_max);
  const double most = day->exposed * (day->tew_m - wetted);
  r.evaporation_m = fmin(r.ke * fmax(0.0, day->et0_m), most);
  r.depletion_m = fmin(day->tew_m, wetted + r.evaporation_m / day->exposed);
  *result = r;
  return FG_OK;
}

fg_status fg_ritchie_loss(double first_stage_m, double coefficient_m, double days, double *loss_m) {
  if (!(first_stage_m >= 0.0) || !(coefficient_m >= 0.0) || !(days >= 0.0))
    return FG_EDOMAIN;
  *loss_m = first_stage_m + coefficient_m * sqrt(days);
  return FG_OK;
}

fg_status fg_ritchie_diffusivity(double coefficient_m, double range, double *diffusivity_m2_s) {
  if (!(coefficient_m >= 0.0) || !(range > 0.0))
    return FG_EDOMAIN;
  const double speed = coefficient_m / range; /* m per square root of a day */
  *diffusivity_m2_s = 0.25 * pi * speed * speed / 86400.0;
  return FG_OK;
}

fg_status fg_spread_drying(const fg_spread *s, double *moisture) {
  if (!(s->thickness_m > 0.0) || !(s->sun_s >= 0.0) || !(s->daylight_s > 0.0) ||
      !(s->bulk_kg_m3 > 0.0) || !(s->moisture >= 0.0) || !(s->residual >= 0.0) ||
      !(s->kc_max > 0.0) || !isfinite(s->net_w_m2) || !isfinite(s->et0_m))
    return FG_EDOMAIN;
  const double share = sin(0.5 * pi * fmin(1.0, s->sun_s / s->daylight_s));
  const double energy_kg_m2 = fmax(0.0, s->net_w_m2) * 86400.0 / latent_heat_j_kg;
  const double air_kg_m2 = s->kc_max * fmax(0.0, s->et0_m) * water_kg_m3;
  const double lost = share * fmin(energy_kg_m2, air_kg_m2) / (s->thickness_m * s->bulk_kg_m3);
  *moisture = fmin(s->moisture, fmax(s->residual, s->moisture - lost));
  return FG_OK;
}
