/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_MOISTURE_H
#define FLOURGOLD_MOISTURE_H

#include <stdbool.h>

#include "flourgold/status.h"

#define FG_WATER_KG_M3 1000.0
#define FG_WATER_TENSION 0.072 /* N/m, surface tension of water near 25 C */

/* Water that clay holds and that does not bind grains, as a share of dry mass:
 * w'(%) = 0.0014 C^2 + 0.17 C, C the clay in %.  Shares 0-1 in and out.
 * Source: Fecan et al., Annales Geophysicae 17:149, 1999, equation 14. */
fg_status fg_bound_water(double clay, double *bound);

/* Water above that: max(0, moisture - bound). */
fg_status fg_free_water(double moisture, double clay, double *water);

/* Clay beyond this share brings a ground no more water that does not bind: it fills the pores
 * between the grains and glues them.  Estimate: model. */
#define FG_CREDITED_CLAY 0.02

/* Water that binds the grains of a ground: moisture above what its clay binds, of that clay no
 * more than FG_CREDITED_CLAY counted. */
fg_status fg_binding_water(double moisture, double clay, double *water);

/* Water, as a share of dry mass, in balance with air of a relative humidity: 0.13 clay times
 * (6.9 - pF), pF the logarithm of the suction in cm of water by Kelvin's equation, held between
 * oven-dry (6.9) and the wilting point (4.2).  Linear in pF: Campbell & Shiozawa, in Indirect
 * Methods for Estimating the Hydraulic Properties of Unsaturated Soils, 1992 (from memory);
 * linear in clay with it: Chen et al., Soil Sci. Soc. Am. J. 78, 2014,
 * doi:10.2136/sssaj2013.06.0247, from whose range of soils 0.13 is read. */
fg_status fg_air_dry_water(double clay, double humidity, double *water);

/* The one residual of a soil: water (by dry mass) that sun and dry air do not take from it, or
 * that makes no bonds where they do.  The larger of what fg_binding_water() leaves out and
 * fg_air_dry_water(): it never falls with clay or humidity, and never rises by less than the
 * credit does, so that clay cannot make dry ground less binding. */
fg_status fg_residual_water(double clay, double humidity, double *water);

/* Wind-erosion threshold of damp over dry soil: sqrt(1 + 1.21 (w - w')^0.68), in %; 1 when
 * there is no free water.  Same source, equation 15. */
fg_status fg_threshold_ratio(double moisture, double clay, double *ratio);

/* How strong water bonds are. */
typedef struct fg_bond {
  double strength;      /* k of F = k pi d gamma w/(w + w_h) */
  double half_moisture; /* w_h, a share */
} fg_bond;

/* Force (N) of the bonds on a grain of diameter d (m) at a share of free water.  Model:
 * its strength lies between Rumpf's tensile strength of damp bulk sand (k near 0.5) and
 * the wind-lift threshold of single grains (k below 0.01). */
double fg_bond_force(const fg_bond *bond, double diameter_m, double free_water);

/* Tensile strength (Pa) of a packing of such grains: (1 - e)/e F/d^2.
 * Source: Rumpf, in Agglomeration (Knepper ed.), 1962. */
double fg_bond_tension(const fg_bond *bond, double diameter_m, double voidage, double free_water);

/* Share of grains freed from their bonds by weight, shaking and a stress T (Pa) that tears at them,
 * the shear of a moving bed or the pressure of a layer on a screen: 1/(1 + F/(W (1 + gamma) +
 * T dv^2)).  Model. */
double fg_freed_share(double bond_n, double weight_n, double gamma, double stress_pa, double dv_m);

/* Whether water (share of dry mass) leaves a ground less than a tenth of its volume for air: then
 * no air passes its pores (limit of the aeration of soils, value from memory). */
bool fg_pores_drowned(double moisture, double bulk_kg_m3, double voidage);

/* Share of ground that comes as lumps, 1 - exp(-clay/clod_clay), times the share that
 * survives the drop: s^2/(s^2 + (rho g H)^2) with s the lumps' tensile strength (Pa).
 * Model; both grow with clay, dry or damp. */
fg_status fg_clod_share(double clay, double clod_clay, double strength_pa, double bulk_kg_m3,
                        double drop_m, double *share);

#endif
