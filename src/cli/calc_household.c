/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What bucket, scale, jar, tube and kitchen sieves tell. */
#include "physics/weighed.h"
#include <math.h>
#include <stdio.h>

#include "cli/calc_formulas.h"
#include "input/stack.h"
#include "model/household.h"
#include "physics/sizes.h"

#define OWN "arithmetic; "

/* ---- moisture ---- */

static fg_status work_moisture(fg_calc_work *work) {
  const double wet = fg_calc_value(work, "wet"), dry = fg_calc_value(work, "dry");
  const double pan = fg_calc_value(work, "pan");
  double moisture, error;
  if (wet < dry)
    return fg_calc_refuse(work, "wet: it is lighter than dry; drying takes weight away, so one of "
                                "the two is wrong or they are swapped");
  if (dry <= pan)
    return fg_calc_refuse(work, "dry: it is no heavier than the empty pan; weigh all three with "
                                "the same scale, wet and dry with the pan");
  const fg_status status =
      fg_moisture_weighed(wet, dry, pan, fg_calc_value(work, "scale_step"), &moisture, &error);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "percent", 100.0 * moisture);
  fg_calc_result(work, "error_percent", error);
  (void)snprintf(work->note, sizeof work->note, "For a scenario: moisture = \"%.2f +- %.2f %%\";",
                 100.0 * moisture, 100.0 * error);
  return FG_OK;
}

const fg_calc fg_calc_of_moisture = {
    .name = "moisture",
    .title = "water in the ground from two weighings, over its dry mass",
    .inputs = {{"wet", FG_Q_MASS, .need = FG_CALC_NEEDED, .highest = 1000.0,
                .meaning = "damp ground with the pan"},
               {"dry", FG_Q_MASS, .need = FG_CALC_NEEDED, .highest = 1000.0,
                .meaning = "the same, dried until it loses no more, with the pan"},
               {"pan", FG_Q_MASS, .need = FG_CALC_STANDARD, .standard = 0.0, .highest = 1000.0,
                .meaning = "the empty pan"},
               {"scale_step", FG_Q_MASS, .need = FG_CALC_STANDARD, .standard = 1e-3,
                .highest = 10.0, .meaning = "smallest step the scale shows"}},
    .outputs = {{"percent", "Moisture, % of the dry mass", FG_Q_NUMBER},
                {"error_percent", "Error, one standard deviation", FG_Q_PERCENT}},
    .source = OWN "(wet - dry)/(dry - pan), each weighing off by half a step of the scale",
    .example = "wet=652g dry=640g pan=140g scale_step=1g",
    .work = work_moisture,
};

/* ---- flake ---- */

static fg_status work_flake(fg_calc_work *work) {
  double density, ratio, error;
  fg_status status = fg_calc_density(work, &density);
  const double size = fg_calc_value(work, "size");
  fg_calc_fill(work, "size_error", 0.06 * size, FG_CALC_ASSUMED);
  if (status == FG_OK)
    status = fg_flake_thickness(fg_calc_value(work, "count"), fg_calc_value(work, "mass"),
                                0.5 * fg_calc_value(work, "scale_step"), size,
                                fg_calc_value(work, "size_error"), density, &ratio, &error);
  if (status != FG_OK)
    return status;
  if (ratio > 1.0)
    return fg_calc_refuse(work,
                          "mass: the flakes come out thicker than wide (%.3g); weigh again, or "
                          "look at count and size",
                          ratio);
  fg_calc_result(work, "thickness_ratio", ratio);
  fg_calc_result(work, "error", error);
  (void)snprintf(work->note, sizeof work->note,
                 "For a scenario: thickness_ratio = \"%.3g +- %.2g\";", ratio, error);
  return FG_OK;
}

const fg_calc fg_calc_of_flake = {
    .name = "flake",
    .title = "thickness over diameter of gold flakes that were counted and weighed together",
    .inputs = {{"count", FG_Q_INTEGER, .need = FG_CALC_NEEDED, .lowest = 1.0, .highest = 1e6,
                .meaning = "flakes of one sieve size"},
               {"mass", FG_Q_SMALL_MASS, .need = FG_CALC_NEEDED, .lowest = 1e-10, .highest = 10.0,
                .meaning = "of all of them together"},
               {"size", FG_Q_GRAIN_SIZE, .need = FG_CALC_NEEDED, .lowest = 1e-6, .highest = 0.1,
                .meaning = "their width: the mean of the two sieves"},
               {"size_error", FG_Q_GRAIN_SIZE, .highest = 0.1,
                .otherwise = "6 % of size: between two neighbouring sieves",
                .meaning = "one standard deviation of the width"},
               {"scale_step", FG_Q_SMALL_MASS, .need = FG_CALC_STANDARD, .standard = 1e-6,
                .highest = 1e-2, .meaning = "smallest step the scale shows"},
               FG_CALC_DENSITY(FG_CALC_OPTIONAL),
               FG_CALC_FINENESS},
    .outputs = {{"thickness_ratio", "Thickness over diameter", FG_Q_NUMBER},
                {"error", "Error, one standard deviation", FG_Q_NUMBER}},
    .source = OWN "a disc of diameter D and thickness f D: f = 4 m/(pi rho D^3 n)",
    .example = "count=100 mass=14.7mg size=0.36mm fineness=0.85",
    .work = work_flake,
};

/* ---- jar ---- */

static fg_status work_jar(fg_calc_work *work) {
  static const char *const names[] = {"sand", "silt", "clay"};
  static const char *const errors[] = {"sand_error", "silt_error", "clay_error"};
  double layer[3], read[3], share[3], error[3];
  for (int i = 0; i < 3; ++i) {
    layer[i] = fg_calc_value(work, names[i]);
    read[i] = fg_calc_value(work, "reading_error");
  }
  if (layer[0] + layer[1] + layer[2] <= 0.0)
    return fg_calc_refuse(work, "sand, silt and clay are all zero: the jar is empty");
  fg_status status = fg_jar_shares(layer, share);
  if (status == FG_OK)
    status = fg_jar_errors(layer, read, error);
  for (int i = 0; i < 3 && status == FG_OK; ++i) {
    fg_calc_result(work, names[i], share[i]);
    fg_calc_result(work, errors[i], error[i]);
  }
  if (status == FG_OK)
    (void)snprintf(
        work->note, sizeof work->note,
        "Texture by the US triangle: %s. Layers are volumes: wet clay swells, so its share by "
        "mass is lower, by a quarter or so.",
        fg_texture_class(share[0], share[1], share[2]));
  return status;
}

const fg_calc fg_calc_of_jar = {
    .name = "jar",
    .title = "sand, silt and clay from the layers that settle in a jar",
    .inputs = {{"sand", FG_Q_LENGTH, .need = FG_CALC_NEEDED, .highest = 1.0,
                .meaning = "lowest layer, down within a minute"},
               {"silt", FG_Q_LENGTH, .need = FG_CALC_NEEDED, .highest = 1.0,
                .meaning = "layer above it, down within two hours"},
               {"clay", FG_Q_LENGTH, .need = FG_CALC_NEEDED, .highest = 1.0,
                .meaning = "uppermost layer, after a day"},
               {"reading_error", FG_Q_LENGTH, .need = FG_CALC_STANDARD, .standard = 0.0254 / 16.0,
                .highest = 0.1, .meaning = "one standard deviation of each height"}},
    .outputs = {{"sand", "Sand", FG_Q_SHARE},
                {"silt", "Silt", FG_Q_SHARE},
                {"clay", "Clay", FG_Q_SHARE},
                {"sand_error", "Error of sand", FG_Q_SHARE},
                {"silt_error", "Error of silt", FG_Q_SHARE},
                {"clay_error", "Error of clay", FG_Q_SHARE}},
    .source = OWN "texture classes: Soil Survey Manual, USDA Handbook 18, chapter 3",
    .example = "sand='2 1/4 in' silt='1/2 in' clay='1/4 in'",
    .work = work_jar,
};

/* ---- tube ---- */

static fg_status work_tube(fg_calc_work *work) {
  const double weight = fg_calc_value(work, "liquid") * 9.80665;
  fg_calc_result(work, "pressure_pa", weight * fg_calc_value(work, "height"));
  fg_calc_result(work, "error_pa", weight * fg_calc_value(work, "reading_error"));
  return FG_OK;
}

const fg_calc fg_calc_of_tube = {
    .name = "tube",
    .title = "pressure from a tube of water bent to a U",
    .inputs = {{"height", FG_Q_LENGTH, .need = FG_CALC_NEEDED, .highest = 20.0,
                .meaning = "from the lower level to the higher"},
               {"reading_error", FG_Q_LENGTH, .need = FG_CALC_STANDARD, .standard = 0.0254 / 8.0,
                .highest = 1.0, .meaning = "one standard deviation of it"},
               {"liquid", FG_Q_GAS_DENSITY, .need = FG_CALC_STANDARD, .standard = 1000.0,
                .lowest = 500.0, .highest = 14000.0, .meaning = "density of the liquid"}},
    .outputs = {{"pressure_pa", "Pressure", FG_Q_PRESSURE},
                {"error_pa", "Error, one standard deviation", FG_Q_PRESSURE}},
    .source = "hydrostatics, density times 9.80665 m/s2 times height; water of 1000 kg/m3 is the "
              "conventional inch of water, NIST SP 811 (2008), appendix B.8",
    .example = "height='3 1/2 in'",
    .work = work_tube,
};

/* ---- sieves ---- */

static fg_status work_sieves(fg_calc_work *work) {
  static const double coarsest_m = 1e3;
  char message[320];
  fg_stack stack = {.weighed = -1};
  fg_sizes sizes;
  double median, share, sauter;
  for (size_t i = 0; i < work->pair_count; ++i)
    if (fg_stack_add(&stack, work->pairs[i][0], work->pairs[i][1], message, sizeof message) !=
        FG_OK)
      return fg_calc_refuse(work, "%s: %s", work->pairs[i][0], message);
  if (fg_stack_finish(&stack, message, sizeof message) != FG_OK)
    return fg_calc_refuse(work, "%s", message);
  const bool screened = fg_calc_given(work, "screen");
  fg_status status = fg_stack_sizes(&stack, fg_calc_value(work, "usual_spread"), &sizes);
  if (status == FG_OK)
    status = fg_sizes_median(&sizes, &median);
  if (status == FG_OK)
    status = fg_sizes_below(&sizes, screened ? fg_calc_value(work, "screen") : coarsest_m, &share,
                            &sauter);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "sauter_mm", sauter);
  fg_calc_result(work, "median_mm", median);
  fg_calc_result(work, "spread", sizes.spread);
  fg_calc_result(work, "passing", screened ? share : 1.0);
  return FG_OK;
}

const fg_calc fg_calc_of_sieves = {
    .name = "sieves",
    .title = "grain size from what stayed on each sieve",
    .inputs = {{"screen", FG_Q_GRAIN_SIZE, .lowest = 1e-6, .highest = 0.2, .otherwise = "all of it",
                .meaning = "opening above which nothing counts for the Sauter mean"},
               {"usual_spread", FG_Q_NUMBER, .need = FG_CALC_STANDARD, .standard = 3.0,
                .lowest = 1.05, .highest = 8.0,
                .meaning = "geometric deviation taken when only one sieve parts the grains"}},
    .outputs = {{"sauter_mm", "Sauter mean (harmonic, by mass)", FG_Q_GRAIN_SIZE},
                {"median_mm", "Median, by mass", FG_Q_GRAIN_SIZE},
                {"spread", "Geometric deviation of the log-normal fitted", FG_Q_NUMBER},
                {"passing", "Part finer than the screen", FG_Q_SHARE}},
    .pairs = "opening=weight for every sieve, coarse to fine, then pan=weight; all=weight for what "
             "was sieved; weights or shares",
    .source = OWN "shares straight against the logarithm of the size between two sieves, beyond "
                  "them spread as a log-normal fitted by least squares",
    .example = "2mm=120g 1mm=260g 0.5mm=310g 0.25mm=180g pan=90g all=965g",
    .work = work_sieves,
};
