/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_ELUTRIATION_H
#define FLOURGOLD_ELUTRIATION_H

/* Flux (kg/(m2 s)) at which air of a superficial velocity (m/s) carries grains of a settling
 * velocity (m/s) off a bed that consists of them; of a class that is a share of the bed, that
 * share of it.  23.7 rho U exp(-5.4 v/U), found for fines above fluidised beds.
 * Source: Geldart et al., Trans. IChemE 57:269, 1979 (values from memory). */
double fg_elutriation_flux(double gas_kg_m3, double velocity_m_s, double settling_m_s);

#endif
