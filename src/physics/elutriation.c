/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/elutriation.h"

#include <math.h>

double fg_elutriation_flux(double gas_kg_m3, double velocity_m_s, double settling_m_s) {
  if (!(velocity_m_s > 0.0))
    return 0.0;
  return 23.7 * gas_kg_m3 * velocity_m_s * exp(-5.4 * settling_m_s / velocity_m_s);
}
