/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/settings.h"

#include <math.h>
#include <string.h>

#include "core/nearest.h"
#include "physics/laws.h"
#include "physics/soil.h"
#include "scenario/settings_table.h"

#define DEG 0.017453292519943295
#define IN 0.0254
#define FT 0.3048
#define NONE NAN

static const char *const blower_kinds[] = {"two_stroke", "four_stroke", "battery", "mains", NULL};
static const char *const label_places[] = {"nozzle", "open", NULL};
static const char *const hose_kinds[] = {"smooth", "ribbed", NULL};
static const char *const sample_methods[] = {"deck", "pan", NULL};
static const char *const skies[] = {"sun", "cloud", "shade", NULL};
static const char *const count_places[] = {"ground", "tray", NULL};

/* Row makers.  They differ in type only, so that the table below reads as a table. */
#define AT(field) offsetof(fg_scenario, field)
#define NUM(id, key, q, field, std, lo, hi, llo, lhi, basis, meaning, source)                      \
  [FG_SET_##id] = {key, FG_T_NUMBER, q,   AT(field), 0,    false, std,     NULL,                   \
                   lo,  hi,          llo, lhi,       NULL, basis, meaning, source}
#define NEEDED(id, key, q, field, lo, hi, basis, meaning, source)                                  \
  [FG_SET_##id] = {key, FG_T_NUMBER, q,    AT(field), 0,    true,  NONE,    NULL,                  \
                   lo,  hi,          NONE, NONE,      NULL, basis, meaning, source}
#define DERIVED(id, key, q, field, text, lo, hi, llo, lhi, basis, meaning, source)                 \
  [FG_SET_##id] = {key, FG_T_NUMBER, q,   AT(field), 0,    false, NONE,    text,                   \
                   lo,  hi,          llo, lhi,       NULL, basis, meaning, source}
#define BASED(id, key, q, field, based, need, std, lo, hi, llo, lhi, basis, meaning, source)       \
  [FG_SET_##id] = {key, FG_T_NUMBER, q,   AT(field), AT(based), need,  std,     NULL,              \
                   lo,  hi,          llo, lhi,       NULL,      basis, meaning, source}
#define READING(id, key, q, field, lo, hi, basis, meaning)                                         \
  [FG_SET_##id] = {key, FG_T_NUMBER, q,    AT(field), 0,    false, NONE,    NULL,                  \
                   lo,  hi,          NONE, NONE,      NULL, basis, meaning, ""}
#define TEXT(id, key, field, text, meaning)                                                        \
  [FG_SET_##id] = {key,  FG_T_TEXT, FG_Q_NUMBER, AT(field), 0,    false, NONE,    text,            \
                   NONE, NONE,      NONE,        NONE,      NULL, "",    meaning, ""}
#define CHOICE(id, key, field, std, list, basis, meaning, source)                                  \
  [FG_SET_##id] = {key,  FG_T_CHOICE, FG_Q_NUMBER, AT(field), 0,    false, std,     NULL,          \
                   NONE, NONE,        NONE,        NONE,      list, basis, meaning, source}

const fg_setting fg_settings[FG_SETTINGS] = {
    /* ---- site ---- */
    TEXT(SITE_NAME, "site.name", site.name, "", "what the place is called in reports"),
    NUM(SITE_ELEVATION, "site.elevation", FG_Q_DISTANCE, site.elevation, 2000 * FT, -450, 6000,
        NONE, NONE, "above sea level",
        "sets the air pressure, and with it blower pressure and lift",
        "US Standard Atmosphere 1976"),
    NUM(SITE_LATITUDE, "site.latitude", FG_Q_ANGLE, site.latitude, 34 * DEG, -66 * DEG, 66 * DEG,
        NONE, NONE, "north positive", "used for the length of the day when ground dries", ""),
    NUM(SITE_AIR_TEMPERATURE, "site.air_temperature", FG_Q_TEMPERATURE, site.air_temperature,
        297.0388888888889, 248.15, 333.15, 288.15, 308.15, "in the shade",
        "sets density and viscosity of the air", ""),
    NUM(SITE_HUMIDITY, "site.humidity", FG_Q_PERCENT, site.humidity, 0.20, 0, 1, 0.08, 0.45,
        "relative", "damp air dries the feed less, and above 70 % static charge leaks away", ""),
    DERIVED(SITE_PRESSURE, "site.pressure", FG_Q_BAROMETER, site.pressure, "from elevation", 40000,
            110000, NONE, NONE, "station pressure, not reduced to sea level",
            "give it only from a barometer read on the spot", "US Standard Atmosphere 1976"),

    /* ---- ground ---- */
    NUM(GROUND_MOISTURE, "ground.moisture", FG_Q_PERCENT, ground.moisture, 0.010, 0, 0.40, 0.004,
        0.020, "water over dry mass, of what passes the screen",
        "binds fine gold to sand and stiffens the bed", "Fecan et al. 1999; Rumpf 1962"),
    NUM(GROUND_CLAY, "ground.clay", FG_Q_PERCENT, ground.clay, 0.03, 0, 0.60, 0.01, 0.08,
        "mass share of what passes the screen, finer than 2 um",
        "holds water that does not bind grains (of 2 % clay at most), and holds grains together in "
        "clods; must agree with soil.class",
        "Fecan et al. 1999"),
    DERIVED(GROUND_CLODS, "ground.clods", FG_Q_SHARE, ground.clods,
            "estimated from clay and moisture", 0, 0.95, NONE, NONE,
            "mass share of the shovelled gravel, seen and weighed on the screen",
            "lumps that carry their gold over the tail unbroken", "estimate: model"),
    NUM(GROUND_BULK_DENSITY, "ground.bulk_density", FG_Q_DENSITY, ground.bulk_density, 1600, 900,
        2400, 1450, 1750, "loose, dry, as it lies in a bucket",
        "sets voidage and weight of the bed", "common practice, no source"),
    NUM(GROUND_SWELL, "ground.swell", FG_Q_NUMBER, ground.swell, 1.25, 1.0, 1.8, 1.15, 1.35,
        "loose volume over volume in place", "turns shovelled volume into ground in place",
        "common practice, no source"),
    NUM(GROUND_MEDIAN_GRAIN, "ground.median_grain", FG_Q_GRAIN_SIZE, ground.median_grain, 1.9e-3,
        5e-5, 0.05, 1.1e-3, 3.2e-3, "by mass, of the gravel as shovelled without cobbles",
        "with grain_spread and the screen sets the grain size of the bed", "assumed"),
    NUM(GROUND_GRAIN_SPREAD, "ground.grain_spread", FG_Q_NUMBER, ground.grain_spread, 3.0, 1.05,
        8.0, 2.2, 4.0, "geometric standard deviation, by mass", "how mixed the gravel's sizes are",
        "assumed"),
    NUM(GROUND_GRAIN_SPHERICITY, "ground.grain_sphericity", FG_Q_NUMBER, ground.grain_sphericity,
        0.75, 0.4, 1.0, 0.65, 0.85, "surface of the equal-volume sphere over surface of the grain",
        "angular desert sand is 0.7 to 0.8", "handbook value from memory"),
    NUM(GROUND_MAGNETITE, "ground.magnetite", FG_Q_SHARE, ground.magnetite, 0.006, 0, 0.5, 0.002,
        0.02, "mass share of what passes the screen", "black sand that fills the riffles",
        "assumed"),
    NUM(GROUND_MAGNETITE_MEDIAN, "ground.magnetite_median", FG_Q_GRAIN_SIZE,
        ground.magnetite_median, 0.3e-3, 3e-5, 0.01, 0.2e-3, 0.5e-3, "by mass",
        "size of the black sand", "assumed"),
    NUM(GROUND_MAGNETITE_SPREAD, "ground.magnetite_spread", FG_Q_NUMBER, ground.magnetite_spread,
        1.8, 1.05, 5.0, 1.5, 2.3, "geometric standard deviation, by mass",
        "how mixed the black sand's sizes are", "assumed"),

    [FG_SET_GROUND_SIEVES] =
        {"ground.sieves", FG_T_SIEVES, FG_Q_GRAIN_SIZE, AT(ground.sieves), 0, false, NONE,
         "none: median_grain and grain_spread stand for it", 1e-6, 0.2, NONE, NONE, NULL,
         "list of (sieve, weight that stayed on it), coarse to fine, then (\"pan\", weight)",
         "the gravel's sizes as sieved, in place of median_grain and grain_spread", ""},
    READING(GROUND_BUCKET_WEIGHT, "ground.bucket_weight", FG_Q_MASS, ground.bucket_weight, 17.1,
            45.4, "of the gravel alone in a bucket filled level to the 5 gallon mark",
            "in place of bulk_density"),
    READING(GROUND_JAR_SAND, "ground.jar_sand", FG_Q_LENGTH, ground.jar_sand, 0, 0.5,
            "lowest layer in a jar of what passes the screen, shaken up in water",
            "with jar_silt and jar_clay in place of clay"),
    READING(GROUND_JAR_SILT, "ground.jar_silt", FG_Q_LENGTH, ground.jar_silt, 0, 0.5,
            "layer above the sand", "with jar_sand and jar_clay in place of clay"),
    READING(GROUND_JAR_CLAY, "ground.jar_clay", FG_Q_LENGTH, ground.jar_clay, 0, 0.5,
            "uppermost layer", "with jar_sand and jar_silt in place of clay"),

    /* ---- soil: how the ground dries ---- */
    [FG_SET_SOIL_CLASS] = {"soil.class", FG_T_CHOICE, FG_Q_NUMBER, AT(soil.class_index), 0, false,
                           NONE, "from ground.clay, the rest taken as sand", NONE, NONE, NONE, NONE,
                           fg_soil_class_names, "of what lies between the stones",
                           "sets how much water the ground holds and how it lets go of it; must "
                           "agree with ground.clay",
                           "FAO-56, table 19"},
    DERIVED(SOIL_STONES, "soil.stones", FG_Q_SHARE, soil.stones, "from the ground's grain sizes", 0,
            0.95, NONE, NONE, "volume share of the ground in place that is coarser than 2 mm",
            "stones hold no water: all else here is for the soil between them", ""),
    DERIVED(SOIL_FIELD_CAPACITY, "soil.field_capacity", FG_Q_SHARE, soil.field_capacity,
            "from class", 0.005, 0.60, NONE, NONE, "water by volume of the soil between the stones",
            "what stays when it has drained", "FAO-56, table 19"),
    DERIVED(
        SOIL_WILTING_POINT, "soil.wilting_point", FG_Q_SHARE, soil.wilting_point, "from class",
        1e-4, 0.45, NONE, NONE, "water by volume of the soil between the stones",
        "the sun takes field_capacity less half of it; what stays then follows from ground.clay "
        "and site.humidity",
        "FAO-56, table 19 and eq. 73"),
    DERIVED(SOIL_SATURATION, "soil.saturation", FG_Q_SHARE, soil.saturation,
            "from bulk density, swell and stones", 0.01, 0.95, NONE, NONE,
            "water by volume of the soil between the stones", "all pores full, as in a wash",
            "grain density 2.65 g/cm3"),
    NUM(SOIL_DEPTH, "soil.depth", FG_Q_LENGTH, soil.depth, 8 * IN, 0.01, 3.0, NONE, NONE,
        "from the surface to the bottom of what is dug", "all gravel down to it is shovelled",
        "assumed"),
    NUM(SOIL_LAYER, "soil.layer", FG_Q_LENGTH, soil.layer, 0.10, 0.02, 0.5, 0.10, 0.15,
        "evaporation layer, from the surface", "the ground that sun and wind dry first",
        "FAO-56, section 7: 0.10-0.15 m"),
    DERIVED(SOIL_REW, "soil.rew", FG_Q_WATER_DEPTH, soil.rew, "from class, in proportion to tew", 0,
            0.1, NONE, NONE, "readily evaporable water", "lost at full rate after rain",
            "FAO-56, table 19"),
    DERIVED(SOIL_TEW, "soil.tew", FG_Q_WATER_DEPTH, soil.tew,
            "layer times field_capacity less half of wilting_point", 1e-5, 0.3, NONE, NONE,
            "totally evaporable water of the layer", "", "FAO-56, eq. 73"),
    DERIVED(SOIL_SECOND_STAGE, "soil.second_stage", FG_Q_WATER_DEPTH, soil.second_stage,
            "from class", 1e-5, 0.02, NONE, NONE,
            "water drawn in the first day; n days draw the square root of n as much",
            "how fast deeper ground dries", "Ritchie 1972, value from memory"),

    /* ---- gold ---- */
    BASED(GOLD_GRADE, "gold.grade", FG_Q_GRADE, gold.grade, gold.grade_basis, false, 6.54e-4, 0,
          1000.0, 2e-4, 2e-3,
          "gold per volume of ground in place (g/yd3, g/m3) or per mass of it (g/t, ppm)",
          "how rich the ground is; scales grams, not shares", "assumed"),
    DERIVED(GOLD_DENSITY, "gold.density", FG_Q_METAL_DENSITY, gold.density,
            "17.5 g/cm3, or from fineness", 10000, 19320, 16500, 18500, "of the grains",
            "native gold is alloyed with silver; give this or fineness, not both",
            "common range of native gold, value from memory"),
    DERIVED(GOLD_FINENESS, "gold.fineness", FG_Q_SHARE, gold.fineness, "from density", 0.0, 1.0,
            NONE, NONE, "mass share of gold in the metal, 0-1",
            "850 fine is 0.850; density follows by ideal mixing with silver",
            "1/rho = F/19.32 + (1-F)/10.49 g/cm3"),
    NUM(GOLD_THICKNESS_RATIO, "gold.thickness_ratio", FG_Q_NUMBER, gold.thickness_ratio, 0.2, 0.01,
        1.0, 0.08, 0.4, "thickness over diameter of a disc",
        "0.67 shotty, 0.2-0.5 near its source, 0.05-0.2 far-travelled", "estimate: model"),
    NUM(GOLD_MEDIAN_SIZE, "gold.median_size", FG_Q_GRAIN_SIZE, gold.median_size, 0.30e-3, 2e-5,
        0.02, 0.15e-3, 0.6e-3, "sieve size by mass, of the gold named in counted_in",
        "give this or classes", "assumed"),
    NUM(GOLD_SIZE_SPREAD, "gold.size_spread", FG_Q_NUMBER, gold.size_spread, 2.2, 1.05, 6.0, 1.8,
        3.0, "geometric standard deviation, by mass", "how mixed the gold's sizes are", "assumed"),
    [FG_SET_GOLD_CLASSES] = {"gold.classes", FG_T_CLASSES, FG_Q_GRAIN_SIZE, AT(gold.classes), 0,
                             false, NONE, "from median_size and size_spread", 1e-6, 0.2, NONE, NONE,
                             NULL, "list of (lower sieve, upper sieve, mass share)",
                             "the gold's sizes as sieved, in place of median_size and size_spread",
                             ""},
    CHOICE(GOLD_COUNTED_IN, "gold.counted_in", gold.counted_in, 0, count_places,
           "where the sizes were seen: the ground itself, or the tray's own catch",
           "a catch is divided by the kept share of each size to give the ground", ""),

    /* ---- screen ---- */
    NUM(SCREEN_OPENING, "screen.opening", FG_Q_GRAIN_SIZE, screen.opening, 0.25 * IN, 5e-4, 0.05,
        0.1875 * IN, 0.375 * IN, "square opening of the cloth or plate",
        "what is coarser never reaches the deck", "common practice, no source"),

    /* ---- deck ---- */
    NEEDED(DECK_LENGTH, "deck.length", FG_Q_LENGTH, deck.length, 0.15, 4.0,
           "along the flow, riffled part", "length of the tray", ""),
    NEEDED(DECK_WIDTH, "deck.width", FG_Q_LENGTH, deck.width, 0.05, 2.0, "inside the side walls",
           "width of the tray", ""),
    NUM(DECK_SLOPE, "deck.slope", FG_Q_SLOPE, deck.slope, 20 * DEG, 1 * DEG, 45 * DEG, 16 * DEG,
        24 * DEG, "to the horizontal",
        "how steep the deck stands; 4 to 6 inches per foot are usual",
        "Silva 1986, Special Publication 87"),
    [FG_SET_DECK_RIFFLES] = {"deck.riffles", FG_T_INTEGER, FG_Q_INTEGER, AT(deck.riffles), 0, true,
                             NONE, NULL, 1, 60, NONE, NONE, NULL,
                             "bars across the flow, evenly spaced, the last at the tail",
                             "number of riffles", ""},
    NUM(DECK_RIFFLE_HEIGHT, "deck.riffle_height", FG_Q_LENGTH, deck.riffle_height, 0.5 * IN, 0.001,
        0.1, 0.375 * IN, 0.75 * IN, "above the cloth",
        "how tall the riffles are; 1/2 to 3/4 inch is usual", "Silva 1986, Special Publication 87"),
    NUM(DECK_SIDE_HEIGHT, "deck.side_height", FG_Q_LENGTH, deck.side_height, 3 * IN, 0.005, 0.4,
        NONE, NONE, "of the side walls above the cloth",
        "a bed that would rise above it stalls the deck", ""),
    NUM(DECK_DEAD_AIR_SHARE, "deck.dead_air_share", FG_Q_SHARE, deck.dead_air_share, 0.25, 0.0, 0.9,
        0.15, 0.35, "share of the pitch, just upslope of a riffle, where the board is closed",
        "the quiet strip where fine gold rests", "assumed"),
    NUM(DECK_DEAD_AIR_LEAK, "deck.dead_air_leak", FG_Q_SHARE, deck.dead_air_leak, 0.10, 0.0, 1.0,
        0.03, 0.3, "air in the quiet strip over air in the open strip",
        "what still leaks through there", "estimate: model"),
    NUM(DECK_CLOTH_PERMEABILITY, "deck.cloth_permeability", FG_Q_PERMEABILITY,
        deck.cloth_permeability, 1.1, 0.01, 10.0, 0.7, 1.6,
        "air per area at 125 Pa (ASTM D737), as worn, dust and all",
        "how easily the cloth passes air", "ASTM D737; range estimated"),
    NUM(DECK_BOARD_OPEN_SHARE, "deck.board_open_share", FG_Q_SHARE, deck.board_open_share, 0.30,
        0.02, 0.95, 0.2, 0.4, "holes over area, in the open strip",
        "open share of the board under the cloth", "Idelchik, diagram 8-1"),
    NUM(DECK_STATIC_CHARGE, "deck.static_charge", FG_Q_CHARGE, deck.static_charge, 2.66e-6, 0,
        26.6e-6, 0, 8e-6, "surface charge of cloth and flakes; none counts above 70 % humidity",
        "holds thin flakes to the cloth, a little", "breakdown of air at 3 MV/m"),
    NUM(DECK_DROP_HEIGHT, "deck.drop_height", FG_Q_LENGTH, deck.drop_height, 0.30, 0, 2.0, 0.2,
        0.45, "from hopper to deck or breaker pins", "breaks clods", "estimate: model"),
    [FG_SET_DECK_AIR_DRYING] = {"deck.air_drying", FG_T_BOOLEAN, FG_Q_NUMBER, AT(deck.air_drying),
                                0, false, 1, NULL, NONE, NONE, NONE, NONE, NULL, "true or false",
                                "the deck's air dries the feed on its way down",
                                "mass balance at the wet bulb"},
    READING(DECK_EMPTY_BOX_PRESSURE, "deck.empty_box_pressure", FG_Q_PRESSURE,
            deck.empty_box_pressure, 5, 20000,
            "difference of the levels in a tube of water; empty deck, gate shut, full throttle",
            "in place of cloth_permeability and board_open_share"),

    /* ---- shaker ---- */
    NUM(SHAKER_MASS, "shaker.mass", FG_Q_MASS, shaker.mass, 14.0, 0.5, 500, 10, 20,
        "box and tray that move, without gravel", "heavier boxes shake less", "assumed"),
    NUM(SHAKER_UNBALANCE, "shaker.unbalance", FG_Q_UNBALANCE, shaker.unbalance, 0.0048, 0, 1.0,
        0.003, 0.007, "off-centre mass times its radius", "0: a deck that is not shaken",
        "assumed"),
    NUM(SHAKER_NATURAL_FREQUENCY, "shaker.natural_frequency", FG_Q_FREQUENCY,
        shaker.natural_frequency, 6.0, 0.1, 200, 4, 9, "of the empty box on its springs or straps",
        "how fast the box swings by itself when pushed", "assumed"),
    NUM(SHAKER_DAMPING, "shaker.damping", FG_Q_NUMBER, shaker.damping, 0.10, 0.001, 2.0, 0.05, 0.2,
        "ratio to critical, empty box", "how soon that swing dies away", "assumed"),
    NUM(SHAKER_RATED_SPEED, "shaker.rated_speed", FG_Q_FREQUENCY, shaker.rated_speed, 26.0, 0, 200,
        20, 32, "turns of the rotor at rated_flow", "rotor speed follows the air through the box",
        "estimate: model"),
    NUM(SHAKER_RATED_FLOW, "shaker.rated_flow", FG_Q_VOLUME_RATE, shaker.rated_flow, 0.14, 0.001,
        5.0, NONE, NONE, "all air through the box", "air at which rated_speed holds", "assumed"),
    NUM(SHAKER_LOSS, "shaker.loss", FG_Q_NUMBER, shaker.loss, 1.5, 0, 50, 0.7, 3,
        "velocity heads of the hose", "pressure the rotor takes", "estimate: model"),
    READING(SHAKER_STROKE, "shaker.stroke", FG_Q_LENGTH, shaker.stroke, 0.5e-4, 0.2,
            "whole line that a still pencil draws on the running box: twice the amplitude",
            "in place of mass, unbalance, natural_frequency and damping"),
    READING(SHAKER_SPEED, "shaker.speed", FG_Q_FREQUENCY, shaker.speed, 0.5, 200,
            "turns of the rotor at the file's throttle, gate and feed",
            "in place of rated_speed and rated_flow"),

    /* ---- hose ---- */
    NUM(HOSE_LENGTH, "hose.length", FG_Q_DISTANCE, hose.length, 6 * FT, 0, 60, NONE, NONE,
        "from the blower to the box", "a longer hose loses more pressure", "assumed"),
    NUM(HOSE_DIAMETER, "hose.diameter", FG_Q_LENGTH, hose.diameter, 4 * IN, 0.01, 0.6, 3 * IN,
        5 * IN, "inside", "a narrow hose loses much pressure", "assumed"),
    [FG_SET_HOSE_ROUGHNESS] = {"hose.roughness", FG_T_NUMBER, FG_Q_ROUGHNESS, AT(hose.roughness),
                               AT(hose.roughness_basis), false, 0.02, NULL, 0, 0.2, 0.01, 0.05,
                               NULL, "roughness height over diameter, or a height with a unit",
                               "corrugated hose 0.01-0.05, smooth below 0.001", "range estimated"},
    NUM(HOSE_LOSSES, "hose.losses", FG_Q_NUMBER, hose.losses, 0.7, 0, 50, 0.3, 1.5,
        "velocity heads: entry, bends, couplings; the exit into the box is counted besides", "",
        "SMACNA elbows 0.13-0.22 each"),
    CHOICE(HOSE_KIND, "hose.kind", hose.kind, FG_HOSE_RIBBED, hose_kinds,
           "by the feel of its inside", "in place of roughness", ""),

    /* ---- gate ---- */
    NUM(GATE_AREA, "gate.area", FG_Q_AREA, gate.area, 0.0080, 0, 1.0, 0.005, 0.012, "fully open",
        "slide that bleeds air from the box", "assumed"),
    NUM(GATE_LEAK_AREA, "gate.leak_area", FG_Q_AREA, gate.leak_area, 0.0003, 0, 0.1, 1e-4, 1e-3,
        "cracks and seams of the box", "air that leaks away unseen", "estimate: model"),

    /* ---- blower ---- */
    TEXT(BLOWER_NAME, "blower.name", blower.name, "", "name in the catalogue"),
    CHOICE(BLOWER_KIND, "blower.kind", blower.kind, 0, blower_kinds, "",
           "engines lose power with altitude; battery and mains blowers do not", ""),
    DERIVED(BLOWER_FREE_VOLUME, "blower.free_volume", FG_Q_VOLUME_RATE, blower.free_volume,
            "from curve or catalogue", 0.005, 5.0, NONE, NONE, "from the label, at full throttle",
            "volume without load", ""),
    DERIVED(BLOWER_NOZZLE_SPEED, "blower.nozzle_speed", FG_Q_NOZZLE_SPEED, blower.nozzle_speed,
            "from curve or catalogue", 5, 200, NONE, NONE, "from the label, at full throttle",
            "air speed at the nozzle: sets the pressure the blower can give", ""),
    [FG_SET_BLOWER_CURVE] = {"blower.curve", FG_T_CURVE, FG_Q_PRESSURE, AT(blower.curve), 0, false,
                             NONE, "from the label", 0, 60000, NONE, NONE, NULL,
                             "list of (volume, total pressure) at full throttle, sea level",
                             "a measured fan curve in place of the label; below its first volume "
                             "the pressure stays, so measure one with the outlet shut too",
                             "flat towards shut-off: estimate"},
    CHOICE(BLOWER_LABEL_AT, "blower.label_at", blower.label_at, 0, label_places,
           "nozzle: volume through the nozzle; open: without it",
           "where the maker measured the volume", ""),
    NUM(BLOWER_LABEL_DERATE, "blower.label_derate", FG_Q_SHARE, blower.label_derate, 0.85, 0.3, 1.2,
        0.7, 1.0, "true volume over label volume", "labels flatter", "estimate: model"),
    NUM(BLOWER_EFFICIENCY, "blower.efficiency", FG_Q_SHARE, blower.efficiency, 0.40, 0.05, 0.9,
        0.25, 0.55, "air power over shaft power", "the rest warms the air", "estimate: model"),
    NUM(BLOWER_FUEL_USE, "blower.fuel_use", FG_Q_FUEL_RATE, blower.fuel_use, 4.2e-7, 0, 1e-4, NONE,
        NONE, "at full throttle", "fuel to carry", "assumed"),
    NUM(BLOWER_MASS, "blower.mass", FG_Q_MASS, blower.mass, 9.0, 0.2, 200, NONE, NONE,
        "with its tank full", "what to carry", "assumed"),
    NUM(BLOWER_NOISE, "blower.noise", FG_Q_NOISE, blower.noise, 98, 40, 140, NONE, NONE,
        "dBA at the operator's ear", "hearing protection", "assumed"),

    /* ---- run ---- */
    NUM(RUN_THROTTLE, "run.throttle", FG_Q_SHARE, run.throttle, 0.80, 0.05, 1.0, 0.65, 0.95,
        "fan speed over its greatest", "how far open the blower's throttle is", "fan laws"),
    NUM(RUN_GATE_OPENING, "run.gate_opening", FG_Q_SHARE, run.gate_opening, 0.60, 0, 1.0, 0.3, 0.9,
        "share of gate.area", "open: less air through the deck, more shake", ""),
    BASED(
        RUN_FEED, "run.feed", FG_Q_FEED, run.feed, run.feed_basis, true, NONE, 1e-3, 20, NONE, NONE,
        "loose gravel shovelled onto the screen: mass or loose volume per time, or time per bucket",
        "what passes the screen is worked out and reported", ""),
    NUM(RUN_HOURS, "run.hours", FG_Q_HOURS, run.hours, 5 * 3600.0, 0, 86400, NONE, NONE,
        "of running, cleaning stops included", "length of the day's run", "assumed"),
    NUM(RUN_CLEANING_INTERVAL, "run.cleaning_interval", FG_Q_MINUTES, run.cleaning_interval,
        40 * 60.0, 60, 86400, NONE, NONE, "running time between two cleanings",
        "30 to 45 minutes are usual", "common practice, no source"),
    NUM(RUN_CLEANING_TIME, "run.cleaning_time", FG_Q_MINUTES, run.cleaning_time, 5 * 60.0, 0, 7200,
        NONE, NONE, "stop for one cleaning", "time that is no run", "assumed"),

    /* ---- observed: on the running machine, at the file's settings ---- */
    READING(OBSERVED_BOX_PRESSURE, "observed.box_pressure", FG_Q_PRESSURE, observed.box_pressure, 0,
            20000, "difference of the levels in a tube of water",
            "pressure in the box while running"),
    READING(OBSERVED_ROTOR_SPEED, "observed.rotor_speed", FG_Q_FREQUENCY, observed.rotor_speed, 0,
            200, "turns of the rotor", "speed of the shaker while running"),
    READING(OBSERVED_BED_DEPTH, "observed.bed_depth", FG_Q_LENGTH, observed.bed_depth, 0.0005, 0.4,
            "of the moving sand, over the standing sand or the cloth", "how thick the gravel runs"),
    READING(OBSERVED_CROSSING_TIME, "observed.crossing_time", FG_Q_TIME, observed.crossing_time,
            0.1, 3600, "of a coloured pebble as thick as the bed, over the whole deck",
            "how fast the gravel runs"),
    READING(OBSERVED_GATE_STOP, "observed.gate_stop", FG_Q_SHARE, observed.gate_stop, 0, 1,
            "share of gate.area, opened slowly, all else as in the file",
            "gate at which the gravel stopped running"),
    READING(OBSERVED_FULL_MINUTES, "observed.full_minutes", FG_Q_MINUTES, observed.full_minutes, 60,
            86400,
            "of running after a cleaning, until the upper half of the riffles is level with "
            "black sand",
            "how fast the riffles fill"),

    /* ---- sample: what to count, and what it is to decide ---- */
    CHOICE(SAMPLE_METHOD, "sample.method", sample.method, FG_SAMPLE_DECK, sample_methods,
           "deck: run over the tray, its catch counted; pan: every bucket panned whole",
           "how a bucket is searched; pan takes every colour as found", ""),
    NUM(SAMPLE_BUCKET, "sample.bucket", FG_Q_VOLUME, sample.bucket, 0.01892705892, 1e-4, 1.0, NONE,
        NONE, "loose gravel in one bucket, level", "what one row of the form holds, unless it says",
        "5 gallons; common practice"),
    [FG_SET_SAMPLE_MOST_BUCKETS] = {"sample.most_buckets", FG_T_INTEGER, FG_Q_INTEGER,
                                    AT(sample.most_buckets), 0, false, 12, NULL, 1, 200, NONE, NONE,
                                    NULL, "buckets one is ready to take at one spot",
                                    "rows of the decide-as-you-go table", ""},
    NUM(SAMPLE_GRAINS, "sample.grains", FG_Q_NUMBER, sample.grains, 20, 1, 1e6, NONE, NONE,
        "colours coarser than visible_size in all buckets together",
        "20 grains tell a grade to about a half either way",
        "Clifton et al. 1969, USGS Prof. Paper 625-C"),
    NUM(SAMPLE_VISIBLE_SIZE, "sample.visible_size", FG_Q_GRAIN_SIZE, sample.visible_size, 150e-6,
        20e-6, 4.75e-3, NONE, NONE, "sieve size",
        "finest colour the eye finds and counts; here 100 mesh", "assumed"),
    NUM(SAMPLE_CONFIDENCE, "sample.confidence", FG_Q_SHARE, sample.confidence, 0.95, 0.5, 0.999,
        NONE, NONE, "chance that an interval holds the truth", "how wide the intervals are", ""),
    BASED(SAMPLE_THRESHOLD, "sample.threshold", FG_Q_GRADE, sample.threshold,
          sample.threshold_basis, false, 6.54e-4, 1e-9, 1000.0, NONE, NONE,
          "gold per volume of ground in place (g/yd3, g/m3) or per mass of it (g/t, ppm)",
          "grade a spot must beat to be worth staying for", "assumed"),
    DERIVED(SAMPLE_LEAVE_RATE, "sample.leave_rate", FG_Q_NUMBER, sample.leave_rate,
            "half of stay_rate", 1e-6, 1e4, NONE, NONE, "visible colours a bucket",
            "ground this poor should be left", ""),
    DERIVED(SAMPLE_STAY_RATE, "sample.stay_rate", FG_Q_NUMBER, sample.stay_rate,
            "what ground of the threshold grade shows", 1e-6, 1e4, NONE, NONE,
            "visible colours a bucket", "ground this rich should be worked", ""),
    NUM(SAMPLE_ALPHA, "sample.alpha", FG_Q_SHARE, sample.alpha, 0.10, 1e-4, 0.49, NONE, NONE,
        "inside 0 to 0.5", "accepted chance to stay on ground of the leave rate", "Wald 1947"),
    NUM(SAMPLE_BETA, "sample.beta", FG_Q_SHARE, sample.beta, 0.10, 1e-4, 0.49, NONE, NONE,
        "inside 0 to 0.5", "accepted chance to leave ground of the stay rate", "Wald 1947"),
    NUM(SAMPLE_PRIOR_BUCKETS, "sample.prior_buckets", FG_Q_NUMBER, sample.prior_buckets, 0, 0, 1000,
        NONE, NONE, "buckets",
        "how many buckets of evidence gold.grade counts for; 0: let the counts speak",
        "Gamma-Poisson; 0 is Jeffreys' prior"),

    /* ---- limits: how far `tune` may go ---- */
    NUM(LIMITS_THROTTLE_LEAST, "limits.throttle_least", FG_Q_SHARE, limits.throttle_least, 0.30,
        0.05, 1.0, NONE, NONE, "fan speed over its greatest",
        "slower the engine will not run smoothly", "assumed"),
    NUM(LIMITS_SLOPE_LEAST, "limits.slope_least", FG_Q_SLOPE, limits.slope_least, 12 * DEG, 1 * DEG,
        45 * DEG, NONE, NONE, "to the horizontal", "flattest deck the legs allow", "assumed"),
    NUM(LIMITS_SLOPE_MOST, "limits.slope_most", FG_Q_SLOPE, limits.slope_most, 28 * DEG, 1 * DEG,
        45 * DEG, NONE, NONE, "to the horizontal", "steepest deck the legs allow", "assumed"),
    BASED(LIMITS_FEED_LEAST, "limits.feed_least", FG_Q_FEED, limits.feed_least,
          limits.feed_least_basis, false, 0.05, 1e-3, 20, NONE, NONE, "as run.feed",
          "slowest feed worth the time", "assumed"),
    BASED(LIMITS_FEED_MOST, "limits.feed_most", FG_Q_FEED, limits.feed_most, limits.feed_most_basis,
          false, 0.25, 1e-3, 20, NONE, NONE, "as run.feed",
          "what the shoveller keeps up all day; a faster run.feed counts as kept up",
          "as day.pace of one person: estimators' handbooks, value from memory"),
    TEXT(LIMITS_SCREENS, "limits.screens", limits.screens, "",
         "openings of the screens owned, with commas: '1/4 in, 1/8 in'"),

    /* ---- day: the day around the run ---- */
    [FG_SET_DAY_PEOPLE] = {"day.people", FG_T_INTEGER, FG_Q_INTEGER, AT(day.people), 0, false, 1,
                           NULL, 1, 20, NONE, NONE, NULL, "people who take turns at the shovel",
                           "how many dig, carry and drink", ""},
    NUM(DAY_LENGTH, "day.length", FG_Q_HOURS, day.length, 10 * 3600.0, 600, 86400, NONE, NONE,
        "from the car and back to it", "what the whole day has to fit into", "assumed"),
    NUM(DAY_SET_UP, "day.set_up", FG_Q_MINUTES, day.set_up, 45 * 60.0, 0, 28800, 25 * 60.0,
        90 * 60.0, "unpacking, levelling, first run, packing up",
        "time at the place that is no run", "assumed"),
    NUM(DAY_WALK, "day.walk", FG_Q_MINUTES, day.walk, 10 * 60.0, 0, 43200, NONE, NONE,
        "one way, from the car to the place", "what is too heavy for one load goes in several",
        "assumed"),
    NUM(DAY_LOAD, "day.load", FG_Q_MASS, day.load, 20, 1, 2000, NONE, NONE,
        "one person at a time, or a cart", "how much is carried in at once", "assumed"),
    BASED(DAY_PACE, "day.pace", FG_Q_FEED, day.pace, day.pace_basis, false, 0.25, 1e-3, 20, 0.15,
          0.35, "as run.feed; one person alone",
          "loose gravel one person digs and lifts all day in cool weather, small rests taken",
          "0.35 to 0.8 yd3 in place an hour: estimators' handbooks, value from memory"),
    DERIVED(DAY_HOTTEST, "day.hottest", FG_Q_TEMPERATURE, day.hottest, "site.air_temperature",
            248.15, 333.15, NONE, NONE, "in the shade, in the hottest hour of the run",
            "sets how much of each hour is rest", "NIOSH 2017-127"),
    CHOICE(DAY_SKY, "day.sky", day.sky, FG_SKY_SUN, skies, "where the work is done",
           "full sun counts for 13 F more, cloud for 7 F", "NIOSH 2017-127"),
    NUM(DAY_DUST, "day.dust", FG_Q_DUST, day.dust, 100e-9, 1e-10, 1e-3, 25e-9, 400e-9,
        "respirable crystalline silica where you stand, without a respirator",
        "how soon a day's allowance is used up", "assumed; nobody has published it for such trays"),
    NUM(DAY_FRAME, "day.frame", FG_Q_MASS, day.frame, 9, 0, 1000, NONE, NONE,
        "stand, hopper, screen and hose", "carried beside shaker.mass and blower.mass", "assumed"),
    NUM(DAY_GEAR, "day.gear", FG_Q_MASS, day.gear, 12, 0, 1000, NONE, NONE,
        "shovel, pick, buckets, pan, tarp, first aid, respirators", "carried besides the machine",
        "assumed"),

    /* ---- closure: what nobody has published for this machine ---- */
    NUM(CLOSURE_PORE_EXPONENT, "closure.pore_exponent", FG_Q_NUMBER, closure.pore_exponent, 1.3,
        0.5, 3.0, 1.0, 1.6, "slip of the air past a fine grain = air / voidage^m",
        "how fast the air runs past grains much finer than the bed", "estimate: model"),
    NUM(CLOSURE_EXCESS_AIR, "closure.excess_air", FG_Q_NUMBER, closure.excess_air, 0.5, 0, 1, 0, 1,
        "share of the air above fluidising that stays between the grains",
        "the rest rises as bubbles", "estimate: model"),
    NUM(CLOSURE_BED_VISCOSITY, "closure.bed_viscosity", FG_Q_VISCOSITY, closure.bed_viscosity, 0.02,
        0.001, 10, 0.005, 0.08, "", "what resists in a bed whose grains the air carries wholly",
        "estimate: model"),
    NUM(CLOSURE_DILATION, "closure.dilation", FG_Q_NUMBER, closure.dilation, 0.2, 0, 1, 0.15, 0.25,
        "packing = packing at rest - k I, I the inertial number",
        "how much a bed loosens as it flows, so that air carries less of it",
        "Forterre & Pouliquen 2008, value from memory"),
    NUM(CLOSURE_HEAP_SHEAR, "closure.heap_shear", FG_Q_NUMBER, closure.heap_shear, 0.5, 0.05, 2,
        0.3, 0.7, "shear rate = k sqrt(g/d)",
        "how fast the bed shears over the sand in quiet strips",
        "flow on a heap: GDR MiDi 2004, value from memory"),
    NUM(CLOSURE_SHAKE_TRANSFER, "closure.shake_transfer", FG_Q_NUMBER, closure.shake_transfer, 1.0,
        0, 3, 0.5, 1.2,
        "sideways shear = k X w / h at most; 1 for a bed that stays behind the deck",
        "how much of the shake reaches the bed", "grain-by-grain simulation; range estimated"),
    NUM(CLOSURE_SHEAR_MIXING, "closure.shear_mixing", FG_Q_NUMBER, closure.shear_mixing, 0.05, 0, 1,
        0.02, 0.1, "D = k G d^2", "mixing by shear", "Utter & Behringer 2004"),
    NUM(CLOSURE_BUBBLE_MIXING, "closure.bubble_mixing", FG_Q_NUMBER, closure.bubble_mixing, 0.05, 0,
        2, 0, 0.2, "D = k (bubble air) h", "mixing by bubbles", "estimate: model"),
    NUM(CLOSURE_SHAKE_MIXING, "closure.shake_mixing", FG_Q_NUMBER, closure.shake_mixing, 0.3, 0, 5,
        0, 1, "D = k X^2 w", "mixing by shaking", "estimate: model"),
    NUM(CLOSURE_SIEVING, "closure.sieving", FG_Q_NUMBER, closure.sieving, 0.26, 0, 3, 0.2, 2,
        "w = K G dv ln(d/dv), ln held below ln 3; of the law schlick alone",
        "fine grains slip down between coarse ones; unknown to a factor of ten",
        "Schlick et al. 2015, value from memory"),
    NUM(CLOSURE_STOKES_FACTOR, "closure.stokes_factor", FG_Q_NUMBER, closure.stokes_factor, 3.0, 1,
        10, 2, 4, "drag = c pi viscosity dv w", "drag on a grain sinking through a flowing bed",
        "Tripathi & Khakhar 2013"),
    NUM(CLOSURE_FRICTION_STATIC, "closure.friction_static", FG_Q_NUMBER, closure.friction_static,
        0.51, 0.1, 1.5, 0.45, 0.6, "mu_s of mu(I)", "friction of the bed at rest",
        "sand: Forterre & Pouliquen 2003, value from memory"),
    NUM(CLOSURE_FRICTION_RISE, "closure.friction_rise", FG_Q_NUMBER, closure.friction_rise, 0.436,
        0, 2, 0.3, 0.5, "mu_2 - mu_s of mu(I)", "how friction grows with speed",
        "sand: Forterre & Pouliquen 2003, value from memory"),
    NUM(CLOSURE_INERTIAL_NUMBER, "closure.inertial_number", FG_Q_NUMBER, closure.inertial_number,
        0.28, 0.01, 3, 0.2, 0.4, "I0 of mu(I)", "speed scale of that growth", "Jop et al. 2006"),
    NUM(CLOSURE_SHUTOFF_RATIO, "closure.shutoff_ratio", FG_Q_NUMBER, closure.shutoff_ratio, 1.5,
        1.0, 3, 1.3, 1.8, "pressure at no flow over the nozzle's velocity pressure",
        "shape of a fan curve taken from a label", "estimate: model"),
    NUM(CLOSURE_BOND_STRENGTH, "closure.bond_strength", FG_Q_NUMBER, closure.bond_strength, 0.1, 0,
        3, 0.03, 0.5, "F = k pi d gamma w/(w + w_h)", "strength of a water bond",
        "between Rumpf 1962 and wind-lift thresholds"),
    NUM(CLOSURE_BOND_MOISTURE, "closure.bond_moisture", FG_Q_PERCENT, closure.bond_moisture, 0.015,
        0.0005, 0.2, 0.005, 0.05, "free water at which a bond has half its strength", "",
        "estimate: model"),
    NUM(CLOSURE_RELEASE, "closure.release", FG_Q_NUMBER, closure.release, 0.005, 0, 1, 0, 0.05,
        "share of a pocket's gold per minute for each unit of shaking above 1 g",
        "gold that walks out of the riffles", "estimate: model"),
    NUM(CLOSURE_CLOD_CLAY, "closure.clod_clay", FG_Q_PERCENT, closure.clod_clay, 0.15, 0.01, 2,
        0.08, 0.4, "clay at which 63 % of the ground comes as lumps", "how many lumps clay makes",
        "estimate: model"),
    NUM(CLOSURE_CLOD_STRENGTH, "closure.clod_strength", FG_Q_STRENGTH, closure.clod_strength, 60e3,
        0, 1e6, 20e3, 200e3, "tensile strength of a dry lump per unit clay share",
        "which lumps survive the drop; soil of a quarter clay: some 15 kPa", "estimate: model"),
    NUM(CLOSURE_POCKET_CREEP, "closure.pocket_creep", FG_Q_NUMBER, closure.pocket_creep, 0.15, 0, 2,
        0.05, 0.5, "shear of the sand in a full pocket over the bed's, at a shake of 1 g or more",
        "lets gold sink into pockets full of black sand; less in proportion below 1 g",
        "estimate: model"),
    CHOICE(CLOSURE_DRAG_LAW, "closure.drag_law", closure.drag_law, 0, fg_drag_law_names, "",
           "drag of the air on a grain; the laws differ by -20/+25 % for flakes", "see calc drag"),
    CHOICE(CLOSURE_SIEVING_LAW, "closure.sieving_law", closure.sieving_law, 0, fg_sieving_law_names,
           "", "how fast fine grains slip down between coarse ones", ""),
};

const size_t fg_settings_count = FG_SETTINGS;
_Static_assert((int)FG_SETTINGS <= (int)FG_SETTINGS_MAX,
               "fg_scenario.origin is too short for the table");

const fg_setting *fg_setting_of(int row) {
  return row >= 0 && row < FG_SETTINGS ? &fg_settings[row] : NULL;
}

int fg_setting_find(const char *key) {
  for (size_t i = 0; i < fg_settings_count; ++i)
    if (strcmp(fg_settings[i].key, key) == 0)
      return (int)i;
  return -1;
}

bool fg_setting_given(const fg_scenario *scenario, int row) {
  return row >= 0 && row < FG_SETTINGS && scenario->origin[row] >= FG_FROM_CATALOGUE;
}

int fg_setting_row_of(const fg_setting *setting) { return (int)(setting - fg_settings); }

bool fg_setting_same_group(int row, int other) {
  const char *a = fg_settings[row].key, *b = fg_settings[other].key;
  const size_t length = strcspn(a, ".") + 1;
  return strncmp(a, b, length) == 0;
}

const char *fg_setting_nearest(const char *key) {
  const char *keys[FG_SETTINGS_MAX + 1];
  for (size_t i = 0; i < fg_settings_count; ++i)
    keys[i] = fg_settings[i].key;
  keys[fg_settings_count] = NULL;
  return fg_nearest(key, keys);
}

double *fg_setting_number(const fg_setting *setting, fg_scenario *scenario) {
  if (setting->type != FG_T_NUMBER)
    return NULL;
  return (double *)(void *)((char *)scenario + setting->offset);
}

double fg_setting_value(const fg_setting *setting, const fg_scenario *scenario) {
  const char *at = (const char *)scenario + setting->offset;
  switch (setting->type) {
  case FG_T_NUMBER:
    return *(const double *)(const void *)at;
  case FG_T_INTEGER:
  case FG_T_CHOICE:
    return *(const int *)(const void *)at;
  case FG_T_BOOLEAN:
    return *(const bool *)(const void *)at ? 1.0 : 0.0;
  default:
    return NAN;
  }
}

void fg_scenario_default(fg_scenario *scenario) {
  memset(scenario, 0, sizeof *scenario);
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const fg_setting *row = &fg_settings[i];
    char *at = (char *)scenario + row->offset;
    switch (row->type) {
    case FG_T_NUMBER:
      *(double *)(void *)at = row->standard;
      break;
    case FG_T_INTEGER:
    case FG_T_CHOICE:
      *(int *)(void *)at = isnan(row->standard) ? 0 : (int)row->standard;
      break;
    case FG_T_BOOLEAN:
      *(bool *)(void *)at = row->standard != 0.0;
      break;
    case FG_T_TEXT:
      strncpy(at, row->standard_text, FG_TEXT_MAX - 1);
      break;
    case FG_T_CLASSES:
    case FG_T_CURVE:
    case FG_T_SIEVES:
      break;
    }
  }
}
