/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/sieve.h"

#include <math.h>

#define MM(x) ((x)*1e-3)
#define UM(x) ((x)*1e-6)

/* ASTM E11, table 1: alternative designation and nominal opening. */
const fg_sieve fg_sieves[] = {
    {"5 in", 0, MM(125)},      {"4.24 in", 0, MM(106)},   {"4 in", 0, MM(100)},
    {"3 1/2 in", 0, MM(90)},   {"3 in", 0, MM(75)},       {"2 1/2 in", 0, MM(63)},
    {"2.12 in", 0, MM(53)},    {"2 in", 0, MM(50)},       {"1 3/4 in", 0, MM(45)},
    {"1 1/2 in", 0, MM(37.5)}, {"1 1/4 in", 0, MM(31.5)}, {"1.06 in", 0, MM(26.5)},
    {"1 in", 0, MM(25)},       {"7/8 in", 0, MM(22.4)},   {"3/4 in", 0, MM(19)},
    {"5/8 in", 0, MM(16)},     {"0.530 in", 0, MM(13.2)}, {"1/2 in", 0, MM(12.5)},
    {"7/16 in", 0, MM(11.2)},  {"3/8 in", 0, MM(9.5)},    {"5/16 in", 0, MM(8)},
    {"0.265 in", 0, MM(6.7)},  {"1/4 in", 0, MM(6.3)},    {"No. 3 1/2", 3.5, MM(5.6)},
    {"No. 4", 4, MM(4.75)},    {"No. 5", 5, MM(4)},       {"No. 6", 6, MM(3.35)},
    {"No. 7", 7, MM(2.8)},     {"No. 8", 8, MM(2.36)},    {"No. 10", 10, MM(2)},
    {"No. 12", 12, MM(1.7)},   {"No. 14", 14, MM(1.4)},   {"No. 16", 16, MM(1.18)},
    {"No. 18", 18, MM(1)},     {"No. 20", 20, UM(850)},   {"No. 25", 25, UM(710)},
    {"No. 30", 30, UM(600)},   {"No. 35", 35, UM(500)},   {"No. 40", 40, UM(425)},
    {"No. 45", 45, UM(355)},   {"No. 50", 50, UM(300)},   {"No. 60", 60, UM(250)},
    {"No. 70", 70, UM(212)},   {"No. 80", 80, UM(180)},   {"No. 100", 100, UM(150)},
    {"No. 120", 120, UM(125)}, {"No. 140", 140, UM(106)}, {"No. 170", 170, UM(90)},
    {"No. 200", 200, UM(75)},  {"No. 230", 230, UM(63)},  {"No. 270", 270, UM(53)},
    {"No. 325", 325, UM(45)},  {"No. 400", 400, UM(38)},  {"No. 450", 450, UM(32)},
    {"No. 500", 500, UM(25)},  {"No. 635", 635, UM(20)},
};

const size_t fg_sieves_count = sizeof fg_sieves / sizeof fg_sieves[0];

fg_status fg_sieve_aperture(int mesh, double *aperture_m) {
  if (mesh <= 0)
    return FG_EDOMAIN;
  for (size_t i = 0; i < fg_sieves_count; ++i) {
    if (fg_sieves[i].mesh == mesh) {
      *aperture_m = fg_sieves[i].aperture_m;
      return FG_OK;
    }
  }
  return FG_EDOMAIN;
}

int fg_sieve_nearest(double aperture_m) {
  if (!(aperture_m > 0.0) || !isfinite(aperture_m))
    return 0;
  int best = 0;
  double nearest = log(1.14);
  for (size_t i = 0; i < fg_sieves_count; ++i) {
    if (fg_sieves[i].mesh < 4)
      continue;
    const double off = fabs(log(aperture_m / fg_sieves[i].aperture_m));
    if (off < nearest) {
      nearest = off;
      best = (int)fg_sieves[i].mesh;
    }
  }
  return best;
}

double fg_sieve_mesh(double aperture_m) {
  for (size_t i = 0; i + 1 < fg_sieves_count; ++i) {
    const fg_sieve *coarse = &fg_sieves[i], *fine = &fg_sieves[i + 1];
    if (coarse->mesh < 4 || !(aperture_m <= coarse->aperture_m) ||
        !(aperture_m >= fine->aperture_m))
      continue;
    const double part =
        log(coarse->aperture_m / aperture_m) / log(coarse->aperture_m / fine->aperture_m);
    return coarse->mesh * pow(fine->mesh / coarse->mesh, part);
  }
  return NAN;
}
