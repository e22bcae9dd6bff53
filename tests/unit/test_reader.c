/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scenario files: what is read from good ones, and what is said about bad ones. */
#include "fg_test.h"

#include <ftw.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "core/complain.h"
#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/datadir.h"
#include "input/unit_names.h"

#define DECK "deck = { length = \"1 m\"; width = \"30 cm\"; riffles = 7; };\n"
#define BLOWER "blower = { free_volume = \"400 cfm\"; nozzle_speed = \"180 mph\"; };\n"
#define RUN "run = { feed = \"30 lb/min\"; };\n"
#define FINE DECK BLOWER RUN

#define MIB ((size_t)1048576)

static char folder[] = "/tmp/flourgold-reader-XXXXXX";
static fg_scenario scenario;
static fg_complaints complaints;

/* Path of a file in the test's folder; valid until the next call. */
static const char *path_of(const char *name) {
  static char path[256];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  return path;
}

static void save_bytes(const char *name, const void *bytes, size_t length) {
  FILE *file = fopen(path_of(name), "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(bytes, 1, length, file), length);
  assert_int_equal(fclose(file), 0);
}

static void save(const char *name, const char *text) { save_bytes(name, text, strlen(text)); }

static fg_status read_file(const char *name, const char *const *sets, size_t count) {
  fg_complaints_free(&complaints);
  const fg_status status = fg_scenario_read(path_of(name), sets, count, &scenario, &complaints);
  assert_int_equal(status == FG_OK, complaints.count == 0);
  return status;
}

/* Reads a text with up to three --set (NULL: none). */
static fg_status read_text(const char *text, const char *a, const char *b, const char *c) {
  const char *sets[3] = {a, b, c};
  const size_t count = !a ? 0 : !b ? 1 : !c ? 2 : 3;
  save("s.cfg", text);
  return read_file("s.cfg", sets, count);
}

static void expect_fine(const char *text, const char *set) {
  if (read_text(text, set, NULL, NULL) != FG_OK)
    fail_msg("refused: %s", complaints.lines[0]);
}

/* Whether some complaint contains `part`. */
static bool complained(const char *part) {
  for (size_t i = 0; i < complaints.count; ++i)
    if (strstr(complaints.lines[i], part))
      return true;
  return false;
}

static void expect_complaint(const char *part) {
  if (complained(part))
    return;
  for (size_t i = 0; i < complaints.count; ++i)
    print_error("said: %s\n", complaints.lines[i]);
  fail_msg("nothing said \"%s\"", part);
}

static fg_origin origin_of(const char *key) {
  const int row = fg_setting_find(key);
  assert_true(row >= 0);
  return (fg_origin)scenario.origin[row];
}

/* ---- good files ---- */

static void a_full_file_is_read(void **state) {
  (void)state;
  expect_fine(
      "site = { name = \"Dry wash\"; elevation = \"2500 ft\"; air_temperature = \"75 F\"; };\n"
      "ground : { moisture = \"1/2 %\", bulk_density = \"100 lb/ft3\" }\n"
      "deck = { length = \"31 1/2 in\"; width = \"12 in\"; slope = \"6 in/ft\"; riffles = 7;\n"
      "         air_drying = false; };\n" BLOWER
      "run = { throttle = 0.75; gate_opening = \"40 %\"; feed = \"30 lb/min\"; };\n"
      "closure = { excess_air = 1; shake_mixing = 1e-1; drag_law = \"ganser\"; };\n",
      NULL);
  assert_string_equal(scenario.site.name, "Dry wash");
  assert_close(scenario.site.elevation, 762.0, 1e-12);
  assert_close(scenario.site.air_temperature, (75.0 + 459.67) / 1.8, 1e-12);
  assert_close(scenario.ground.moisture, 0.005, 1e-12);
  assert_close(scenario.ground.bulk_density, 1601.846, 5e-7);
  assert_close(scenario.deck.length, 0.8001, 1e-12);
  assert_close(scenario.deck.slope, atan(0.5), 1e-12);
  assert_int_equal(scenario.deck.riffles, 7);
  assert_false(scenario.deck.air_drying);
  assert_close(scenario.run.throttle, 0.75, 1e-12);
  assert_close(scenario.run.gate_opening, 0.4, 1e-12);
  assert_close(scenario.run.feed, 30.0 * 0.45359237 / 60.0, 1e-12);
  assert_close(scenario.closure.excess_air, 1.0, 1e-12);
  assert_close(scenario.closure.shake_mixing, 0.1, 1e-12);
  assert_int_equal(scenario.closure.drag_law, 1);
  assert_int_equal(origin_of("site.elevation"), FG_FROM_FILE);
  assert_int_equal(origin_of("site.pressure"), FG_FROM_DERIVED);
  assert_int_equal(origin_of("ground.clay"), FG_FROM_DEFAULT);
}

static void ways_of_writing_are_equal(void **state) {
  (void)state;
  expect_fine("\xef\xbb\xbf" FINE, NULL); /* a byte order mark */
  expect_fine("deck = { length = \"1 m\"\r\nwidth = \"30 cm\"\r\nriffles = 7 }\r\n" BLOWER RUN,
              NULL);
  expect_fine("# \xe2\x80\x9c"
              "curly\xe2\x80\x9d in a comment @include\n" FINE "/* { \" */ // (",
              NULL);
  expect_fine(FINE "site = { name = \"\xe2\x80\x9cQ\xe2\x80\x9d \"  \"Ca\xc3\xb1on\"; };", NULL);
  assert_string_equal(scenario.site.name, "\xe2\x80\x9cQ\xe2\x80\x9d Ca\xc3\xb1on");
  expect_fine("deck = { length = \"1 m\"; width = \"30 cm\"; riffles = \"7\"; };\n" BLOWER RUN,
              NULL);
  expect_fine("deck = { length = \"1 m\"; width = \"30 cm\"; riffles = 7L; };\n" BLOWER RUN, NULL);
}

static void feed_by_the_bucket_uses_the_bulk_density(void **state) {
  (void)state;
  expect_fine(DECK BLOWER "run = { feed = \"2 min/bucket\"; };"
                          "ground = { bulk_density = \"1600 kg/m3\"; };",
              NULL);
  assert_close(scenario.run.feed, 5.0 * 231.0 * 1.6387064e-5 / 120.0 * 1600.0, 1e-9);
}

static void included_files_are_found_beside_the_including_one(void **state) {
  (void)state;
  mkdir(path_of("sub"), 0700);
  save("sub/a.cfg", "width = \"30 cm\";\n@include \"b.cfg\"\n");
  save("sub/b.cfg", "riffles = 9");
  expect_fine("deck = { length = \"1 m\";\n@include \"sub/a.cfg\"\n};\n" BLOWER RUN, NULL);
  assert_int_equal(scenario.deck.riffles, 9);
  save("sub/b.cfg", "riffles = 9;\nslope = \"5\";\n");
  assert_int_equal(read_text("deck = { length = \"1 m\";\n@include \"sub/a.cfg\"\nbad = 1; };\n",
                             NULL, NULL, NULL),
                   FG_ESCENARIO);
  expect_complaint("sub/b.cfg:2: deck.slope: ");
  expect_complaint("s.cfg:3: deck.bad: ");
}

/* ---- size classes ---- */

static void classes_are_sorted_and_normalised(void **state) {
  (void)state;
  expect_fine(FINE "gold = { classes = ( (\"100 mesh\", \"60 mesh\", \"50 %\"),\n"
                   "[\"40 mesh\", \"60 mesh\", \"25 %\"],\n"
                   "{ upper = \"100 mesh\"; lower = \"200 mesh\"; share = 0.255; } ); };",
              NULL);
  assert_int_equal(scenario.gold.class_count, 3);
  assert_close(scenario.gold.classes[0].upper_m, 425e-6, 1e-12);
  assert_close(scenario.gold.classes[0].lower_m, 250e-6, 1e-12);
  assert_close(scenario.gold.classes[0].share, 0.25 / 1.005, 1e-12);
  assert_close(scenario.gold.classes[2].lower_m, 75e-6, 1e-12);
  assert_close(scenario.gold.classes[0].share + scenario.gold.classes[1].share +
                   scenario.gold.classes[2].share,
               1.0, 1e-15);
  expect_fine(FINE, "gold.classes=((\"60 mesh\",\"40 mesh\",40),(\"80 mesh\",\"60 mesh\",60))");
  assert_close(scenario.gold.classes[0].share, 0.4, 1e-12);
}

typedef struct bad_case {
  const char *name, *text, *set, *said;
} bad_case;

static bad_case bad_cases[] = {
    {"shares that do not add up", FINE, "gold.classes=((\"60 mesh\",\"40 mesh\",0.8))",
     "add to 0.8"},
    {"classes that overlap", FINE,
     "gold.classes=((\"60 mesh\",\"40 mesh\",0.5),(\"80 mesh\",\"50 mesh\",0.5))", "overlap"},
    {"a class between equal sieves", FINE, "gold.classes=((\"60 mesh\",\"0.25 mm\",1))",
     "same opening"},
    {"a class without lower end", FINE, "gold.classes=((\"0 mm\",\"60 mesh\",1))", "lower end"},
    {"a negative share", FINE, "gold.classes=((\"80 mesh\",\"60 mesh\",-1))", "negative"},
    {"a class of two parts", FINE, "gold.classes=((1,2))", "each class is written"},
    {"classes that are no list", FINE, "gold.classes=60 mesh", "a list is needed"},
    {"no classes", FINE, "gold.classes=()", "0 entries"},
    {"classes beside a median",
     FINE "gold = { median_size = \"0.2 mm\";\n"
          "classes = ( (\"60 mesh\", \"40 mesh\", 1) ); };",
     NULL, "s.cfg:4: gold.median_size: gold.classes is given too (/"},
    {"density beside fineness", FINE "gold = { density = \"17 g/cm3\"; fineness = 0.85; };", NULL,
     "gold.fineness: gold.density is given too"},
    {"fineness in parts per thousand", FINE "gold = { fineness = 850; };", NULL,
     "850 fine is written 0.850"},
    /* numbers and types */
    {"a whole number with a fraction", FINE, "deck.riffles=7.5", "whole number"},
    {"a fraction of a riffle", "deck = { riffles = 7.5; };", NULL, "s.cfg:1: deck.riffles: "},
    {"no riffles", FINE, "deck.riffles=0", "allowed 1 to"},
    {"a number without unit", "deck = { length = 1; };", NULL, "needs a unit, e.g."},
    {"moisture without sign", FINE "ground = { moisture = 0.5; };", NULL, "needs a % sign"},
    {"a share above 1", FINE, "run.throttle=80", "for 80 % write \"80 %\""},
    {"a switch for a mass", FINE "shaker = { mass = true; };", NULL,
     "true stands where a mass is needed"},
    {"a text for a switch", "deck = { air_drying = \"yes\"; };", NULL, "without quotes"},
    {"a number for a text", "site = { name = 5; };", NULL, "text in double quotes"},
    {"a list for a number", "run = { throttle = (1, 2); };", NULL, "a list or group stands"},
    {"an unknown choice", FINE, "closure.drag_law=gansr", "perhaps ganser"},
    {"too large an integer", FINE "shaker = { loss = 4294967297; };", NULL, "too large"},
    {"a long integer too large", FINE "shaker = { loss = 4294967297L; };", NULL, "too large"},
    {"too large a float", FINE "shaker = { loss = 1.0e400; };", NULL, "too large"},
    {"hexadecimal", FINE "shaker = { loss = 0x10; };", NULL, "not hexadecimal"},
    {"a decimal comma", FINE "shaker = { loss = 1,5; };", NULL, "no comma"},
    {"a bare unit", FINE "shaker = { mass = 15 lb; };", NULL, "double quotes"},
    {"a bare unit without space", FINE "shaker = { mass = 15lb; };", NULL, "double quotes"},
    {"a bare word", FINE "ground = { clay = dry; };", NULL, "double quotes: \"dry\""},
    {"too long a name",
     FINE "site = { name = \"" /* 256 bytes */
          "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
          "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
          "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
          "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
          "\"; };",
     NULL, "too long"},
    {"an escaped zero byte", FINE "site = { name = \"a\\x00b\"; };", NULL, "zero byte"},
    {"an escaped byte that is not text", FINE "site = { name = \"a\\xff\"; };", NULL, "UTF-8"},
    {"an escaped line end", FINE "site = { name = \"a\\nb\"; };", NULL, "control character"},
    /* names */
    {"an unknown key", FINE "site = { elevaton = \"1 ft\"; };", NULL, "perhaps site.elevation"},
    {"a key in the wrong group", FINE "ground = { feed = \"1 lb/min\"; };", NULL,
     "perhaps run.feed"},
    {"a key in no group", FINE "feed = \"1 lb/min\";", NULL, "run = { feed = ...; }"},
    {"an unknown group", FINE "dekc = { };", NULL, "perhaps deck"},
    {"a group that is none", "deck = 5;", NULL, "deck = { ... }"},
    {"a key given twice", FINE "ground = {\nclay = \"3 %\";\nclay = \"4 %\"; };", NULL,
     "s.cfg:6: clay: given a second time"},
    {"nothing at all", "", NULL,
     "still needed: deck.length (e.g. \"8 in\"), deck.width (e.g. \"8 in\"), deck.riffles (e.g. "
     "5), "
     "run.feed"},
    /* grammar */
    {"a missing brace", FINE "site = {\nname = \"x\";", NULL, "s.cfg:4: the { that opens here"},
    {"a brace too many", FINE "};", NULL, "never opened"},
    {"crossed brackets", FINE "gold = { classes = ( }", NULL, "should be closed first"},
    {"a missing equals sign", FINE "site { }", NULL, "a = is missing"},
    {"a missing value", FINE "site = { name = ; };", NULL, "a value is missing"},
    {"a missing comma", FINE "gold = { classes = ( (\"60 mesh\" 5) ); };", NULL,
     "comma is missing"},
    {"two values", FINE "site = { name = \"a\" 5; };", NULL, "one value only"},
    {"a text that ends too early", FINE "site =", NULL, "ends in the middle"},
    {"a mixed array", FINE "gold = { classes = [1, \"2\"]; };", NULL, "of one kind"},
    {"an open text", FINE "site = { name = \"x;\n};", NULL,
     "s.cfg:4: the text that begins with \""},
    {"an open comment", FINE "\n/* oh\n\n", NULL, "s.cfg:5: the comment that begins here"},
    {"single quotes", FINE "site = { name = 'x'; };", NULL, "double quotes"},
    {"curly quotes", FINE "site = { name = \xe2\x80\x9cx\xe2\x80\x9d; };", NULL, "curly quotes"},
    {"another encoding", FINE "site = { name = \"caf\xe9\"; };", NULL, "s.cfg:4: byte 0xE9"},
    {"a stray @", FINE "x @ y", NULL, "@include"},
    /* included files */
    {"an absent include", FINE "@include \"nope.cfg\"\n", NULL, "s.cfg:4: cannot include"},
    {"an included folder", FINE "@include \".\"\n", NULL, "it is a folder"},
    {"an included pipe", FINE "@include \"pipe\"\n", NULL, "it is a pipe"},
    {"an included device", FINE "@include \"/dev/zero\"\n", NULL, "it is a device"},
    {"a file that includes itself", FINE "@include \"./s.cfg\"\n", NULL, "includes itself"},
    {"an include within a line", FINE "site = { @include \"x\" };", NULL, "a line of its own"},
    /* --set */
    {"a set without equals sign", FINE, "nonsense", "--set: \"nonsense\": write group.key=value"},
    {"a set without value", FINE, "deck.slope=", "write group.key=value"},
    {"a set of an unknown key", FINE, "deck.slpoe=5 deg", "--set: deck.slpoe: "},
    {"a set out of range", FINE, "deck.slope=89 deg", "--set: deck.slope: \"89 deg\" is too high"},
    {"a set of slope 0", FINE, "deck.slope=0 deg", "is too low"},
    {"a set that includes", FINE, "gold.classes=(@include \"x\")", "@"},
    {"a set of two", FINE, "gold.classes=((1,2,3)); x=2", "one value only"},
    {"an open list in a set", FINE, "gold.classes=((1,2", "--set: gold.classes: the ("},
    {"a set that is not text", FINE, "site.name=\xff\xfe", "UTF-8"},
    /* what does not fit together */
    {"riffles above the walls", FINE, "deck.side_height=10 mm",
     "must be smaller than deck.side_height"},
    {"stones above the walls", FINE "screen = { opening = \"40 mm\"; };", "deck.side_height=30 mm",
     "screen.opening (1.57 in) must be smaller"},
    {"riffles too close",
     "deck = { length = \"1 m\"; width = \"30 cm\"; riffles = 60; };\n" BLOWER RUN,
     "deck.riffle_height=20 mm", "at most 25 riffles"},
    {"gravel without voids", FINE, "ground.bulk_density=2400 kg/m3", "a bulk density of"},
    {"a feed that takes no time", FINE, "run.feed=0 min/bucket", "no time"},
    {"too large a feed by volume", FINE, "run.feed=1 s/yd3", "is too high"},
    {"too rough a hose", FINE "hose = { roughness = \"10 mm\"; diameter = \"20 mm\"; };", NULL,
     "s.cfg:4: hose.roughness: 0.5 is too high"},
    {"a barometer in nowhere", FINE, "site.pressure=1 mb", "site.pressure: \"1 mb\" is too low"},
    /* the blower */
    {"a blower without speed", DECK RUN "blower = { free_volume = \"400 cfm\"; };", NULL,
     "blower: nozzle_speed is missing"},
    {"a blower without anything", DECK RUN "blower = { kind = \"mains\"; };", NULL,
     "blower: what it can do is missing"},
    {"a rising curve",
     DECK RUN "blower = { curve = (\n(\"0 cfm\", \"1 inH2O\"),\n"
              "(\"90 cfm\", \"2 inH2O\") ); };",
     NULL, "s.cfg:5: blower.curve: the pressure of point 2"},
    {"a curve that goes back",
     DECK RUN "blower = { curve = ( (\"90 cfm\", \"2 inH2O\"), (\"80 cfm\", \"1 inH2O\") ); };",
     NULL, "the volume of point 2"},
    {"a curve of one point", DECK RUN "blower = { curve = ( (\"90 cfm\", \"2 inH2O\") ); };", NULL,
     "at least two points"},
    {"a curve beside a label",
     DECK RUN "blower = { curve = ( (\"0 cfm\", \"2 inH2O\"), (\"80 cfm\", \"1 inH2O\") );\n"
              "free_volume = \"90 cfm\"; };",
     NULL, "blower.free_volume: blower.curve is given too"},
    {"an unknown blower", DECK RUN "blower = \"big pak\";", NULL,
     "perhaps big pack; it has \"big pack\", \"curved\", \"broken\""},
    {"a blower the catalogue has wrong", DECK RUN "blower = \"broken\";", NULL,
     "blowers.cfg:5: blower.mass: "},
};

enum { BAD_CASES = sizeof bad_cases / sizeof bad_cases[0] };

static void check_bad_case(void **state) {
  const bad_case *c = *state;
  scenario.deck.riffles = -99;
  assert_int_equal(read_text(c->text, c->set, NULL, NULL), FG_ESCENARIO);
  expect_complaint(c->said);
  assert_int_equal(scenario.deck.riffles, -99); /* untouched */
}

/* ---- several faults at once ---- */

static void all_faults_come_in_the_order_of_the_file(void **state) {
  (void)state;
  static const char *const order[] = {"s.cfg:1: site.elevaton", "s.cfg:2: ground.moisture",
                                      "s.cfg:3: deck.slope",    "s.cfg:4: gold.fineness",
                                      "s.cfg: still needed: ",  "--set: run.hours",
                                      "--set: run.throttle"};
  read_text("site = { elevaton = \"1 ft\"; };\nground = { moisture = 1; };\n"
            "deck = { slope = \"80 deg\"; };\ngold = { fineness = 2; };\n",
            "run.hours=3", "run.throttle=2", NULL);
  assert_int_equal(complaints.count, 7);
  for (size_t i = 0; i < 7; ++i)
    assert_non_null(strstr(complaints.lines[i], order[i]));
}

static void at_most_fifty_faults_are_listed(void **state) {
  (void)state;
  char text[4096] = "";
  for (int i = 0; i < 70; ++i)
    snprintf(text + strlen(text), 32, "g%d = {};\n", i);
  read_text(text, NULL, NULL, NULL);
  assert_int_equal(complaints.count, 51);
  assert_string_equal(complaints.lines[50], "and 21 more");
}

/* ---- --set ---- */

static void later_sets_win(void **state) {
  (void)state;
  assert_int_equal(read_text(FINE, "deck.slope=5 in/ft", "deck.slope = 60 %", "site.name=\"a b\""),
                   FG_OK);
  assert_close(scenario.deck.slope, atan(0.6), 1e-12);
  assert_string_equal(scenario.site.name, "a b");
  assert_int_equal(origin_of("deck.slope"), FG_FROM_SET);
  assert_int_equal(
      read_text(FINE, "deck.air_drying=false", "gold.counted_in=tray", "deck.riffles=9"), FG_OK);
  assert_false(scenario.deck.air_drying);
  assert_int_equal(scenario.gold.counted_in, FG_COUNTED_TRAY);
  assert_int_equal(scenario.deck.riffles, 9);
}

static void a_set_gives_what_the_file_leaves_out(void **state) {
  (void)state;
  expect_fine(DECK BLOWER, "run.feed=30 lb/min");
  expect_fine(DECK RUN, "blower={ free_volume = \"300 cfm\"; nozzle_speed = \"150 mph\"; }");
  expect_fine(DECK RUN, "blower=big pack");
}

/* The other way of saying the same replaces the file's. */
static void a_set_replaces_its_alternative(void **state) {
  (void)state;
  expect_fine(FINE "gold = { density = \"17 g/cm3\"; };", "gold.fineness=0.9");
  /* 1/rho = 0.9/19.32 + 0.1/10.49 */
  assert_close(scenario.gold.density, 1000.0 / (0.9 / 19.32 + 0.1 / 10.49), 1e-9);
  expect_fine(FINE, "blower={ curve = ((\"0 cfm\",\"3 inH2O\"),(\"100 cfm\",\"2 inH2O\")); }");
  assert_int_equal(scenario.blower.curve_count, 2);
  assert_int_equal(origin_of("blower.free_volume"), FG_FROM_DEFAULT);
}

/* ---- the catalogue ---- */

static void a_blower_comes_from_the_catalogue(void **state) {
  (void)state;
  expect_fine(DECK RUN "blower = \"big pack\";", NULL);
  assert_string_equal(scenario.blower.name, "big pack");
  assert_close(scenario.blower.free_volume, 450.0 * 0.028316846592 / 60.0, 1e-12);
  assert_close(scenario.blower.mass, 22.0 * 0.45359237, 1e-12);
  assert_int_equal(origin_of("blower.mass"), FG_FROM_CATALOGUE);
  assert_int_equal(origin_of("blower.name"), FG_FROM_FILE);
  expect_fine(DECK RUN "blower = { mass = \"10 kg\"; name = \"big pack\"; };", NULL);
  assert_close(scenario.blower.mass, 10.0, 1e-12);
  assert_close(scenario.blower.nozzle_speed, 190.0 * 0.44704, 1e-12);
  assert_int_equal(origin_of("blower.mass"), FG_FROM_FILE);
}

static void another_blower_forgets_the_first(void **state) {
  (void)state;
  expect_fine(DECK RUN "blower = \"big pack\";", "blower=curved");
  assert_int_equal(scenario.blower.curve_count, 3);
  assert_int_equal(scenario.blower.kind, FG_BLOWER_MAINS);
  assert_int_equal(origin_of("blower.mass"), FG_FROM_DEFAULT);
  expect_fine(DECK RUN "blower = \"curved\";", "blower.name=big pack");
  assert_int_equal(scenario.blower.curve_count, 0);
  assert_close(scenario.blower.mass, 22.0 * 0.45359237, 1e-12);
}

static void the_environment_names_a_catalogue(void **state) {
  (void)state;
  save("other.cfg", "blowers = ( { name = \"one\"; free_volume = \"100 cfm\"; "
                    "nozzle_speed = \"100 mph\"; } );");
  setenv("FLOURGOLD_CATALOGUE", path_of("other.cfg"), 1);
  expect_fine(DECK RUN "blower = \"one\";", NULL);
  save("other.cfg", "oops = 1;");
  read_text(DECK RUN "blower = \"one\";", NULL, NULL, NULL);
  expect_complaint("holds no list");
  setenv("FLOURGOLD_CATALOGUE", path_of("absent.cfg"), 1);
  read_text(DECK RUN "blower = \"one\";", NULL, NULL, NULL);
  expect_complaint("absent.cfg: cannot be read");
  unsetenv("FLOURGOLD_CATALOGUE");
}

static void the_programs_own_files_are_found(void **state) {
  (void)state;
  char path[256] = "untouched";
  setenv("FLOURGOLD_DATA", folder, 1);
  assert_int_equal(fg_data_file("blowers.cfg", path, sizeof path), FG_OK);
  assert_string_equal(path, path_of("blowers.cfg"));
  assert_int_equal(fg_data_file("blowers.cfg", path, 5), FG_EDOMAIN);
  assert_int_equal(fg_data_file("no/such/file", path, sizeof path), FG_EIO);
  assert_string_equal(path, path_of("blowers.cfg"));
  unsetenv("FLOURGOLD_DATA");
}

/* ---- files that are none, and limits ---- */

static void only_regular_files_are_read(void **state) {
  (void)state;
  assert_int_equal(read_file(".", NULL, 0), FG_EIO);
  expect_complaint("it is a folder");
  assert_int_equal(read_file("pipe", NULL, 0), FG_EIO);
  expect_complaint("it is a pipe");
  assert_int_equal(read_file("absent", NULL, 0), FG_EIO);
  expect_complaint("No such file");
  fg_complaints_free(&complaints);
  assert_int_equal(fg_scenario_read("/dev/zero", NULL, 0, &scenario, &complaints), FG_EIO);
}

static void bytes_that_are_no_text_are_refused(void **state) {
  (void)state;
  save_bytes("s.cfg", FINE "\0x", sizeof(FINE "\0x") - 1);
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("s.cfg:4: a zero byte");
  save_bytes("s.cfg",
             "\xff\xfe"
             "d\0e\0",
             6);
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("UTF-16");
  save("s.cfg", FINE "\x01");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("byte 0x01");
}

/* A text of `count` copies of `piece` between `head` and `tail`. */
static void save_repeated(const char *name, const char *head, const char *piece, size_t count,
                          const char *tail) {
  FILE *file = fopen(path_of(name), "w");
  assert_non_null(file);
  assert_true(fputs(head, file) >= 0);
  for (size_t i = 0; i < count; ++i)
    assert_true(fputs(piece, file) >= 0);
  assert_true(fputs(tail, file) >= 0);
  assert_int_equal(fclose(file), 0);
}

static void sizes_are_limited(void **state) {
  (void)state;
  save_repeated("s.cfg", FINE, "#", MIB, "");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_EIO);
  expect_complaint("1 MiB");
  save_repeated("s.cfg", FINE, "#", MIB - strlen(FINE), "");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_OK);
  save_repeated("big.cfg", "", "#", 600000, "");
  save("s.cfg", FINE "@include \"big.cfg\"\n@include \"big.cfg\"\n");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("s.cfg:5: cannot include");
  save_repeated("s.cfg", FINE "site = { name = \"", "x", 4097, "\"; };");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("4096 bytes");
  save_repeated("s.cfg", FINE "site = { name = ", "\"xxxxxxxx\" ", 513, "; };");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("4096 bytes");
}

static void counts_are_limited(void **state) {
  (void)state;
  save_repeated("s.cfg", "", "a=1;", 5001, "");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("5000 settings");
  save_repeated("s.cfg", "a = ", "(", 100, "");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("32 deep");
  save_repeated("s.cfg", "a = (", "1,", 20001, "1);");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("20000 values");
  save_repeated("s.cfg", FINE "gold = { classes = (", "(\"60 mesh\",\"40 mesh\",1),", 200,
                "(\"60 mesh\",\"40 mesh\",1)); };");
  assert_int_equal(read_file("s.cfg", NULL, 0), FG_ESCENARIO);
  expect_complaint("201 entries; 1 to 200");
}

static void includes_are_limited(void **state) {
  (void)state;
  char name[32], text[64];
  for (int i = 0; i < 12; ++i) {
    snprintf(name, sizeof name, "deep%d.cfg", i);
    snprintf(text, sizeof text, "@include \"deep%d.cfg\"\n", i + 1);
    save(name, i < 11 ? text : "");
  }
  expect_fine(FINE "@include \"deep2.cfg\"\n", NULL); /* deep2 to deep11: ten */
  read_text(FINE "@include \"deep1.cfg\"\n", NULL, NULL, NULL);
  expect_complaint("more than 10 deep");
  save("two.cfg", "@include \"s.cfg\"\n");
  read_text("@include \"two.cfg\"\n", NULL, NULL, NULL);
  expect_complaint("includes itself");
  save("none.cfg", "");
  save_repeated("s.cfg", FINE, "@include \"none.cfg\"\n", 101, "");
  read_file("s.cfg", NULL, 0);
  expect_complaint("more than 100 files");
}

/* Every beginning of a good file, and the file with each byte changed, ends in a scenario
 * or a complaint. */
static void broken_files_end_in_a_complaint(void **state) {
  (void)state;
  static const char whole[] =
      "site = { name = \"a\"; elevation = \"1 1/2 ft\"; }; // x\n" FINE
      "gold = { classes = ( (\"60 mesh\", \"40 mesh\", 1e0), [\"1 in\"] ); };\n/* y */ # z\n";
  static const char odd[] = "\"{}()[];=,@\\\x80\x01";
  char text[sizeof whole];
  for (size_t i = 0; i < sizeof whole; ++i) {
    save_bytes("s.cfg", whole, i);
    read_file("s.cfg", NULL, 0);
    memcpy(text, whole, sizeof whole);
    text[i] = odd[i % (sizeof odd - 1)];
    save_bytes("s.cfg", text, sizeof whole - 1);
    read_file("s.cfg", NULL, 0);
  }
}

static void complaints_are_tame(void **state) {
  (void)state;
  fg_complaints some = {0};
  fg_complain(&some, "a %s", "b\n\x1b[31m\x7f");
  assert_int_equal(some.count, 1);
  assert_string_equal(some.lines[0], "a b ?[31m?");
  fg_complaints_free(&some);
  fg_complaints_free(&some);
  assert_int_equal(some.count, 0);
}

static int set_up(void) {
  if (!mkdtemp(folder))
    return -1;
  unsetenv("FLOURGOLD_CATALOGUE");
  unsetenv("FLOURGOLD_DATA");
  save("blowers.cfg",
       "blowers = (\n"
       "{ name = \"big pack\"; note = \"invented\"; kind = \"two_stroke\"; free_volume = \"450 "
       "cfm\";"
       " nozzle_speed = \"190 mph\"; mass = \"22 lb\"; },\n"
       "{ name = \"curved\"; kind = \"mains\"; curve = ( (\"0 cfm\", \"9 inH2O\"),"
       " (\"200 cfm\", \"6 inH2O\"), (\"400 cfm\", \"0 inH2O\") ); },\n"
       "{ name = \"broken\"; free_volume = \"450 cfm\"; nozzle_speed = \"190 mph\";\n"
       "mass = \"22 in\"; } );\n");
  return mkfifo(path_of("pipe"), 0600);
}

static int remove_one(const char *path, const struct stat *about, int kind, struct FTW *place) {
  (void)about;
  (void)kind;
  (void)place;
  return remove(path);
}

static void tidy_up(void) {
  fg_complaints_free(&complaints);
  fg_units_free();
  if (nftw(folder, remove_one, 8, FTW_DEPTH | FTW_PHYS) != 0)
    print_error("%s stays behind\n", folder);
}

int main(void) {
  static const struct CMUnitTest others[] = {
      cmocka_unit_test(a_full_file_is_read),
      cmocka_unit_test(ways_of_writing_are_equal),
      cmocka_unit_test(feed_by_the_bucket_uses_the_bulk_density),
      cmocka_unit_test(included_files_are_found_beside_the_including_one),
      cmocka_unit_test(classes_are_sorted_and_normalised),
      cmocka_unit_test(all_faults_come_in_the_order_of_the_file),
      cmocka_unit_test(at_most_fifty_faults_are_listed),
      cmocka_unit_test(later_sets_win),
      cmocka_unit_test(a_set_gives_what_the_file_leaves_out),
      cmocka_unit_test(a_set_replaces_its_alternative),
      cmocka_unit_test(a_blower_comes_from_the_catalogue),
      cmocka_unit_test(another_blower_forgets_the_first),
      cmocka_unit_test(the_environment_names_a_catalogue),
      cmocka_unit_test(the_programs_own_files_are_found),
      cmocka_unit_test(only_regular_files_are_read),
      cmocka_unit_test(bytes_that_are_no_text_are_refused),
      cmocka_unit_test(sizes_are_limited),
      cmocka_unit_test(counts_are_limited),
      cmocka_unit_test(includes_are_limited),
      cmocka_unit_test(broken_files_end_in_a_complaint),
      cmocka_unit_test(complaints_are_tame),
  };
  enum { OTHERS = sizeof others / sizeof others[0] };
  static struct CMUnitTest tests[BAD_CASES + OTHERS];
  for (size_t i = 0; i < OTHERS; ++i)
    tests[i] = others[i];
  for (size_t i = 0; i < BAD_CASES; ++i)
    tests[OTHERS + i] =
        (struct CMUnitTest){bad_cases[i].name, check_bad_case, NULL, NULL, &bad_cases[i]};
  if (set_up() != 0) {
    print_error("no folder for test files\n");
    return 1;
  }
  const int status = FG_RUN_GROUP(tests);
  tidy_up();
  return status;
}
