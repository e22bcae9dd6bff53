/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of commands: the command line and the help are read from it. */
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/dry_call.h"
#include "input/readings.h"
#include "stats/kriging.h"
#include "study/doubts.h"
#include "study/knobs.h"
#include "study/tune_table.h"

const char *const fg_aim_names[] = {"gold-per-hour", "least-loss", NULL};
static const char *const rankings[] = {"estimate", "chance", NULL};

static const fg_option check_options[] = {
    FG_FLAG("--effective", "list every setting in force, given or assumed"),
    FG_NO_OPTION,
};

static const fg_option start_options[] = {
    FG_READS("--answers", "FILE", "take the answers from FILE, one a line"),
    FG_FLAG("--force", "replace a file that is there already"),
    FG_NO_OPTION,
};

static const fg_option settle_options[] = {
    FG_FLAG("--laws", "show all drag laws side by side"),
    FG_OF_KIND("--minerals", "LIST",
               "minerals beside gold and quartz, with commas (default: magnetite)",
               FG_TAKES_MINERALS),
    FG_NO_OPTION,
};

static const fg_option loss_options[] = {
    FG_TEXT("--vary", "group.key=LIST",
            "set side by side what other values of one setting do: run.feed=1,2,3min/bucket"),
    FG_FLAG("--fresh", "the deck just cleaned, instead of the mean between two cleanings"),
    FG_ENSEMBLE_OPTIONS,
    FG_NO_OPTION,
};

static const fg_option doubts_options[] = {
    FG_WHOLE("--samples", "N",
             "runs with every doubtful input drawn anew (default 1024, at least 256)",
             FG_DOUBTS_SAMPLES_LEAST, FG_SAMPLES_MAX),
    FG_SEED_OPTION,
    FG_NO_OPTION,
};

static const fg_option blowers_options[] = {
    FG_READS("--catalogue", "CATALOGUE",
             "your own list of blowers in place of the one that comes along"),
    FG_TEXTS("--label", "LABEL", "a blower by its label, as '450 cfm, 170 mph'"),
    FG_SAMPLES_OPTION("runs that judge a blower, every doubtful input drawn anew (default 64)"),
    FG_SEED_OPTION,
    FG_FLAG("--exact", "the nominal run alone, without bands"),
    FG_NO_OPTION,
};

static const fg_option cleanup_options[] = {
    FG_ENSEMBLE_OPTIONS,
    FG_NO_OPTION,
};

static const fg_option plot_options[] = {
    FG_QUANTITY("--size", "SIZE", "the gold shown by the picture deck: '0.2 mm' or '70 mesh'",
                FG_Q_GRAIN_SIZE, 0.0, 1.0),
    FG_NAMES("--knobs", "TWO", "of the picture map: throttle,gate (default), slope, feed, screen",
             fg_knob_names),
    FG_CHOICE("--aim", "AIM", "of the picture map: gold-per-hour (default) or least-loss",
              fg_aim_names),
    FG_DRYING_OPTIONS,
    FG_SAMPLES_OPTION("grounds drawn anew for the chances of drying (default 256)"),
    FG_SEED_OPTION,
    FG_FLAG("--exact", "one ground alone, without chances"),
    FG_NO_OPTION,
};

static const fg_option streaks_options[] = {
    FG_PICTURE("--map", "PICTURE", "draw the map: a file ending in .svg or .png"),
    FG_WRITES("--gpx", "FILE", "write flags, next places and old workings for a handheld receiver"),
    FG_OF_KIND("--field", "NAME",
               "column or element of the reading (default: reading, black_sand ...)",
               FG_TAKES_COLUMN),
    FG_OF_KIND("--pan", "NAME", "column or element of the pan counts (default: pan, colours ...)",
               FG_TAKES_COLUMN),
    FG_NUMBER("--cut", "VALUE", "the reading worth digging for (default: the upper quartile)", -1e9,
              1e9),
    FG_CHOICE("--by", "estimate|chance",
              "rank by the estimate (default) or the chance of beating the cut", rankings),
    FG_WHOLE("--top", "N", "flags listed for people (default: 10; data has all)", 1,
             FG_READINGS_MOST),
    FG_NUMBER("--direction", "DEG", "the wash's direction, clockwise from north (default: found)",
              0.0, 360.0),
    FG_OF_KIND("--variogram", "MODEL", "set it by hand: 'exponential nugget=0 sill=10 range=10'",
               FG_TAKES_VARIOGRAM),
    FG_WHOLE("--neighbours", "N",
             "readings in one estimate (default: all up to 64 places, else 32)",
             FG_NEIGHBOURS_LEAST, FG_NEIGHBOURS_MOST),
    FG_PAIR("--at", "X,Y", "estimate at one place, as the file has positions"),
    FG_NUMBER("--power", "P", "power of the inverse distance (default: 2)", 0.01, 100.0),
    FG_PAIR("--origin", "LAT,LON",
            "where x and y are 0, for latitudes of a file in metres or feet"),
    FG_NO_OPTION,
};

static const fg_option sample_options[] = {
    FG_READS("--counts", "CSV", "the filled form: what the buckets held"),
    FG_FLAG("--form", "write the blank form as a CSV file instead"),
    FG_FLAG("--force", "replace a form that is there already"),
    FG_NO_OPTION,
};

static const fg_option tune_options[] = {
    FG_CHOICE("--aim", "AIM", "gold-per-hour (unless given) or least-loss, at the feed given",
              fg_aim_names),
    FG_NAMES("--free", "LIST", "knobs to move, with commas: throttle,gate,slope,feed,screen",
             fg_knob_names),
    FG_PERCENTS("--for-moisture", "LIST", "a table over moistures in percent: 0.5,1,2,3", 0.0,
                40.0),
    FG_NAMES("--for-grain", "LIST", "a table over ground: fine,medium,coarse", fg_grain_names),
    FG_PICTURE("--picture", "PICTURE", "draw that table as a card: a file ending in .svg or .png"),
    FG_ENSEMBLE_OPTIONS,
    FG_NO_OPTION,
};

static const fg_option day_options[] = {
    FG_NUMBER("--price", "NUMBER", "what a gram brings, in your own money", 0.0, 1e9),
    FG_ENSEMBLE_OPTIONS,
    FG_NO_OPTION,
};

static const fg_option verdict_options[] = {
    FG_NUMBER("--buckets", "N", "level buckets that were run; needed", 0.001, 1e5),
    FG_MEASURED("--found", "MASS",
                "gold in the catch, with its unit: '120 mg', '0.3 g', '2 dwt'; needed",
                FG_Q_GOLD_MASS, 0.0, 100.0),
    FG_READS("--tailings", "CSV",
             "tailings panned again: colours by mesh, as 'sample --form' lists them"),
    FG_SAMPLES_OPTION("runs with every doubtful input drawn anew (default 1024)"),
    FG_SEED_OPTION,
    FG_NO_OPTION,
};

static const fg_option card_options[] = {
    FG_FLAG("--present", "the settings of the file, instead of the best ones"),
    FG_DRYING_OPTIONS,
    FG_ENSEMBLE_OPTIONS,
    FG_NO_OPTION,
};

static const fg_option dry_options[] = {
    FG_DRYING_OPTIONS,
    FG_QUANTITY("--tarp", "THICKNESS", "gravel spread on a tarp (default 1 in)", FG_Q_LENGTH, 0.001,
                1.0),
    FG_QUANTITY("--sun", "HOURS", "of sun it gets there (default 4 h)", FG_Q_HOURS, 0.0,
                24.0 * 3600.0),
    FG_SAMPLES_OPTION("grounds drawn anew for the chances (default 256)"),
    FG_SEED_OPTION,
    FG_FLAG("--exact", "one ground alone, without chances"),
    FG_NO_OPTION,
};

#define RUNNING "What the deck does"
#define STUDIES "What to set"
#define SCENARIOS "Scenario files"
#define AROUND "Before and after the run"
#define OTHER "Other"

const fg_command fg_commands[] = {
    {
        .name = "loss",
        .group = RUNNING,
        .summary = "how much gold of each size is kept, and how the rest is lost",
        .usage = "[OPTION]... SCENARIO...",
        .example = "flourgold loss configs/demo.cfg",
        .details = "Works out the air through the deck, whether the bed runs, and for each size "
                   "of gold the share that stays behind the riffles, sticks to sand, is blown "
                   "off, is carried over the tail or is shaken out again. The figures are the "
                   "mean over the time between two cleanings.\n"
                   "A deck that stalls has no loss table: the state, what is missing and what "
                   "would help are shown, and the exit status is 1.\n"
                   "Several scenarios are set side by side: what each keeps, from the same draws "
                   "of all that is in doubt, what differs between the files, and the difference "
                   "to the first of them with its own band.",
        .files = FG_FILES_MANY,
        .options = loss_options,
        .run = fg_cmd_loss,
    },
    {
        .name = "settle",
        .group = RUNNING,
        .summary = "how fast gold, black sand and quartz fall in that day's air",
        .usage = "[OPTION]... SCENARIO",
        .example = "flourgold settle configs/demo.cfg --laws",
        .details = "Lists the settling velocity by size, the quartz that falls as fast as the "
                   "gold, and what the air of the deck would lift.\n"
                   "Minerals: feldspar, mica, calcite, garnet, epidote, zircon, rutile, ilmenite, "
                   "hematite, magnetite, pyrite, barite, scheelite, cassiterite, galena, cinnabar, "
                   "lead, steel, platinum.",
        .files = FG_FILES_ONE,
        .options = settle_options,
        .run = fg_cmd_settle,
    },
    {
        .name = "doubts",
        .group = RUNNING,
        .summary = "which inputs make the answer doubtful, and what measuring them would bring",
        .usage = "[OPTION]... SCENARIO",
        .example = "flourgold doubts configs/demo.cfg",
        .details = "Draws every doubtful input anew, runs the model each time, and tells how much "
                   "of the spread in the kept gold each input causes by itself (first-order "
                   "indices of Sobol, estimated from the sample: Plischke et al. 2013). Only "
                   "shares above what chance gives, found by shuffling, are told. For the "
                   "strongest the runs are made again with that input known four times better.",
        .files = FG_FILES_ONE,
        .options = doubts_options,
        .run = fg_cmd_doubts,
    },
    {
        .name = "blowers",
        .group = RUNNING,
        .summary = "every class of blower on this deck, each at its own best settings",
        .usage = "[OPTION]... SCENARIO",
        .example = "flourgold blowers configs/demo.cfg --label '450 cfm, 170 mph'",
        .details = "Each blower of the catalogue, the scenario's own and each --label is tuned on "
                   "this deck (throttle, gate, slope, feed) and then judged: air and pressure "
                   "that reach the deck, share bled away, gold an hour, margin to a stall, fuel, "
                   "weight, noise and what altitude costs. A LABEL is 'VOLUME, SPEED' or 'VOLUME, "
                   "SPEED, KIND' with two_stroke (assumed), four_stroke, battery or mains.\n"
                   "A scenario that says nothing of the ground is judged on three kinds of it. "
                   "A blower that cannot carry the bed is told as such; the exit status is 1 when "
                   "none can.",
        .files = FG_FILES_ONE,
        .options = blowers_options,
        .run = fg_cmd_blowers,
    },
    {
        .name = "cleanup",
        .group = RUNNING,
        .summary = "when to clean the riffles, and how much concentrate comes of it",
        .usage = "[OPTION]... SCENARIO",
        .example = "flourgold cleanup configs/demo.cfg",
        .details = "Follows the riffles from a cleaning on: how they fill with black sand, what is "
                   "kept just then and on the whole, and the interval that brings most gold when "
                   "each stop costs run.cleaning_time (the gold of a cycle over its length, "
                   "renewal-reward). The shift, run.hours, is parted into whole batches.\n"
                   "In the bands a run that stalls counts as no gold. Common practice, 30 to 45 "
                   "minutes, is held against ordinary and black-sand ground.",
        .files = FG_FILES_ONE,
        .options = cleanup_options,
        .run = fg_cmd_cleanup,
    },
    {
        .name = "plot",
        .group = RUNNING,
        .summary = "draw a picture: loss, settling, riffles, operating, deck, map ...",
        .usage = "[OPTION]... NAME SCENARIO -o PICTURE",
        .example = "flourgold plot loss configs/demo.cfg -o loss.svg",
        .details =
            "loss: kept and each way of losing, by size. settling: velocity against size, "
            "with the deck's lift line. riffles: what each riffle holds, by size. "
            "operating: the blower's curve against the box. deck: where one size is, over "
            "the depth and along the deck. drying: how the ground dries after the rain; it needs "
            "--weather (see 'flourgold help dry'). "
            "cleanup: the riffles filling, and the best interval. blowers: what each class "
            "brings, and where its air goes. map: gold kept over two knobs, the mean of a small "
            "ensemble, with the region "
            "where the deck stalls. settings: a card of what to set for damp and coarse "
            "ground.\n"
            "The ending of PICTURE, .svg or .png, says which kind of picture it is. The "
            "drawing is done by gnuplot; its data are written beside the picture, with "
            ".csv behind the name.",
        .words_least = 1,
        .words_most = 1,
        .word = "the name of a picture",
        .word_kind = FG_WORD_PICTURE,
        .files = FG_FILES_ONE,
        .picture = true,
        .options = plot_options,
        .run = fg_cmd_plot,
    },
    {
        .name = "tune",
        .group = STUDIES,
        .summary = "the best throttle, gate, slope, feed and screen for this ground",
        .usage = "[OPTION]... SCENARIO",
        .example = "flourgold tune configs/demo.cfg --aim gold-per-hour",
        .details = "Searches the settings that keep most gold per hour, or lose least at the feed "
                   "given, judged on many runs with every doubtful input drawn anew; a run that "
                   "stalls counts as no gold. Prints the settings in the machine's own terms, what "
                   "to check there, and the good range of each knob. The group limits of the "
                   "scenario says how far it may go.\n"
                   "With --for-moisture or --for-grain: a table of air and feed against the "
                   "moisture and the grain of the ground.",
        .files = FG_FILES_ONE,
        .options = tune_options,
        .run = fg_cmd_tune,
    },
    {
        .name = "dry",
        .group = AROUND,
        .summary = "how long after the rain until the ground is dry enough for this deck",
        .usage = "[OPTION]... SCENARIO --weather CSV",
        .example = "flourgold dry configs/demo.cfg --weather configs/weather-demo.csv",
        .details = "Dries the ground day by day from the weather (evaporation by FAO-56) and says "
                   "from which day on this deck, at its best throttle and gate, loses no more than "
                   "an allowed share of its fine gold to damp, and how sure that is. Also whether "
                   "spreading on a tarp helps, and how to test on the spot.\n"
                   "The first row of the CSV names its columns: date, rain [in], tmin [degF], tmax "
                   "[degF], and where known humidity [%], humidity_max [%], humidity_min [%], "
                   "dewpoint [degF], vapour_pressure [kPa], wind [mph], sunshine [h], radiation "
                   "[MJ/m2/day]. Days after its last row are dry ones, each like the monthly means "
                   "given, or like the mean of its last 14 days.\n"
                   "The settings soil.* say how the ground holds water: 'flourgold keys soil'.",
        .files = FG_FILES_ONE,
        .options = dry_options,
        .run = fg_cmd_dry,
    },
    {
        .name = "sample",
        .group = AROUND,
        .summary = "what a few buckets say: how many to take, stay or leave, what was found",
        .usage = "[OPTION]... SCENARIO [--counts CSV]",
        .example = "flourgold sample configs/demo.cfg --counts configs/counts-demo.csv",
        .details = "Without --counts: how many buckets give enough colours, what they cannot "
                   "tell, a table to decide by after each bucket, and a form to print. With it: "
                   "grade with its limits, gold per yard, hour and day, the chance that the spot "
                   "beats sample.threshold, and which of several stations is richer.\n"
                   "The settings sample.* say what is counted and decided: 'flourgold keys "
                   "sample'. --form writes the form as a CSV file (-o form.csv).",
        .files = FG_FILES_ONE,
        .options = sample_options,
        .run = fg_cmd_sample,
    },
    {
        .name = "day",
        .group = AROUND,
        .summary = "is the trip worth it: gold, buckets, fuel, water and weight to carry",
        .usage = "[OPTION]... SCENARIO...",
        .example = "flourgold day configs/demo.cfg configs/pile-demo.cfg",
        .details = "Reckons one day: what is shovelled and kept, with its doubt, after walking, "
                   "setting up, cleaning stops and the rests that heat asks for; fuel, oil, water, "
                   "the load, and the hours to a full dose of dust and noise.\n"
                   "Several scenario files are ranked by the gold they bring on average, with the "
                   "chance that one beats the other. The settings day.* say what the day is like: "
                   "'flourgold keys day'. Money is told only with --price.",
        .files = FG_FILES_MANY,
        .options = day_options,
        .run = fg_cmd_day,
    },
    {
        .name = "verdict",
        .group = AROUND,
        .summary = "the disappointing day: how likely it was, and what took the gold",
        .usage = "[OPTION]... SCENARIO --buckets N --found MASS",
        .example = "flourgold verdict configs/demo.cfg --buckets 100 --found '200 mg'",
        .details = "Says how likely so small a catch was given all that is in doubt, and gives "
                   "each suspect (poor ground, damp, too much or too little air, flaky or fine "
                   "gold, full riffles, over-feeding, the deck itself, luck) its weight: the "
                   "chance that it is the main cause. Names the one check to do next.\n"
                   "The tailings CSV is the form of `flourgold sample --form`: station, gravel, "
                   "colours by mesh, gold [mg]; its gravel is what went over the tail. What was "
                   "observed on the machine (observed.*) counts too.",
        .files = FG_FILES_ONE,
        .options = verdict_options,
        .run = fg_cmd_verdict,
    },
    {
        .name = "card",
        .group = AROUND,
        .summary = "one page to carry along: settings, targets, when to clean, leave and stop",
        .usage = "[OPTION]... SCENARIO [--weather CSV]",
        .example = "flourgold card configs/demo.cfg -o card.txt",
        .details = "Readiness of the ground, settings with what to check there, loss by size, "
                   "cleaning interval, the stay-or-leave table, packing list and cautions, at most "
                   "64 columns wide. The settings are the best ones for this ground, as `tune` "
                   "finds them, or with --present those of the file.\n"
                   "With --weather the ground's drying is worked out as by `flourgold dry`.",
        .files = FG_FILES_ONE,
        .options = card_options,
        .run = fg_cmd_card,
    },
    {
        .name = "streaks",
        .group = AROUND,
        .summary = "from black-sand readings along a wash to a map of ranked flags",
        .usage = "[OPTION]... READINGS",
        .example = "flourgold streaks configs/wash.csv --map wash.svg",
        .details =
            "READINGS is a CSV table whose first line names its columns (x_m and y_m, x_ft "
            "and y_ft, or latitude and longitude; reading or black_sand, with _percent "
            "where it is that; name, colours and old_workings if you like), or the "
            "waypoints of a GPX file with 'reading=12.5' in the comment.\n"
            "The flags are ranked by the black sand estimated for the first six inches "
            "(ordinary kriging; the variogram is fitted by likelihood, if shuffled readings do "
            "not look as alike; skewed readings go by their logarithms), with the chance of "
            "beating the cut and the places where further readings tell most. Fewer than 12 "
            "places get an assumed variogram. Readings at one place are repeats. "
            "Pan counts say whether black sand goes with gold there. Only a pan proves "
            "gold.\n"
            "Positions with x and y may be on any grid, y to the north. --format csv -o "
            "flags.csv writes the ranking as a table.",
        .words_least = 1,
        .words_most = 1,
        .word = "a file of readings, CSV or GPX",
        .word_kind = FG_WORD_FILE,
        .options = streaks_options,
        .run = fg_cmd_streaks,
    },
    {
        .name = "check",
        .group = SCENARIOS,
        .summary = "read a scenario file; say what was given and what is assumed",
        .usage = "[OPTION]... SCENARIO",
        .example = "flourgold check configs/demo.cfg --effective",
        .details = "Every fault in the file is reported with its line, what is wrong and what "
                   "would be right; the exit status is then 2.\n"
                   "A reading and what it stands for (shaker.stroke and shaker.unbalance, say) "
                   "exclude each other in one file; given by --set, either takes the place of the "
                   "other.",
        .files = FG_FILES_ONE,
        .options = check_options,
        .run = fg_cmd_check,
    },
    {
        .name = "start",
        .group = SCENARIOS,
        .summary = "ask plain questions and write a scenario file",
        .usage = "[OPTION]... -o FILE",
        .example = "flourgold start -o my_wash.cfg",
        .details = "Each question says how to find out. Answer as you would say it (8, 3/8\", "
                   "2' 6\", half inch, 450 CFM, a bucket every 90 s); just press Enter for the "
                   "answer in brackets, type ? when you do not know: then the program assumes a "
                   "usual value and lists it as assumed; back goes one question back. What is "
                   "hardly meant is asked once more. Nothing is written before the last "
                   "answer; a file that is there already is replaced with --force alone.\n"
                   "Answers may come from a file or a pipe, one a line in the order of the "
                   "questions; empty lines take what stands in brackets, lines that begin with # "
                   "are left out.",
        .options = start_options,
        .run = fg_cmd_start,
    },
    {
        .name = "measure",
        .group = SCENARIOS,
        .summary = "print a card of what this scenario lacks, most valuable first",
        .usage = "[OPTION]... SCENARIO",
        .example = "flourgold measure configs/demo.cfg",
        .details =
            "One page to take along: the measurements with bucket, scale, sieves, a tube "
            "of water and a phone that would tell most about the fine gold kept, with "
            "blanks to fill in. Ranked as `doubts` does, by their share of the doubt in an "
            "ensemble; what cannot be told from chance there, by the model run at both ends of "
            "its likely range.",
        .files = FG_FILES_ONE,
        .options = doubts_options,
        .run = fg_cmd_measure,
    },
    {
        .name = "keys",
        .group = SCENARIOS,
        .summary = "explain the settings a scenario file may hold",
        .usage = "[OPTION]... [PATTERN]",
        .example = "flourgold keys 'deck.*'",
        .details = "PATTERN, in either case, is a part of a key (\"riffle\") or a pattern with * "
                   "and ? for the "
                   "whole key (\"deck.*\", in quotes so that the shell leaves it alone). Without "
                   "it all settings are listed.\n"
                   "Any number may be written with its error, one standard deviation: "
                   "\"8 in +- 1/8 in\", \"0.8 +- 0.3 %\", \"250 Pa +- 10 %\".",
        .words_most = 1,
        .word = "a pattern",
        .word_kind = FG_WORD_KEY,
        .run = fg_cmd_keys,
    },
    {
        .name = "calc",
        .group = OTHER,
        .summary = "work one published formula, with its source",
        .usage = "[OPTION]... [NAME [key=value]...]",
        .example = "flourgold calc air elevation='3000 ft' temperature='90 F'",
        .details = "Without NAME the formulas are listed; 'flourgold calc NAME' alone shows what "
                   "one takes, with exit status 2 where that leaves nothing to work out. Values "
                   "with a dimension need their unit.",
        .words_most = -1,
        .word = "the name of a formula",
        .word_kind = FG_WORD_FORMULA,
        .run = fg_cmd_calc,
    },
    {
        .name = "help",
        .group = OTHER,
        .summary = "list the commands, or explain one or a topic",
        .usage = "[COMMAND | TOPIC]",
        .example = "flourgold help loss",
        .details = "'flourgold COMMAND --help' does the same.",
        .words_most = 1,
        .word = "a command or topic",
        .word_kind = FG_WORD_TOPIC,
    },
};

const size_t fg_commands_count = sizeof fg_commands / sizeof fg_commands[0];

const fg_command *fg_command_find(const char *name) {
  for (size_t i = 0; i < fg_commands_count; ++i)
    if (strcmp(fg_commands[i].name, name) == 0)
      return &fg_commands[i];
  return NULL;
}

bool fg_option_applies(const fg_command *command, const fg_option *option) {
  if (strcmp(option->name, "--set") == 0)
    return command->files != FG_FILES_NONE;
  const bool of_reports =
      strcmp(option->name, "--format") == 0 || strcmp(option->name, "--full") == 0;
  return !of_reports || !command->picture;
}

bool fg_option_repeats(const fg_option *option) {
  return option->kind == FG_TAKES_TEXTS || option->kind == FG_TAKES_DATES ||
         option->kind == FG_TAKES_DATED || option->kind == FG_TAKES_SETTING;
}

const char *fg_option_meaning(const fg_option *option, char *buffer, size_t size) {
  (void)snprintf(buffer, size, "%s%s", option->meaning,
                 fg_option_repeats(option) ? "; may be repeated" : "");
  return buffer;
}
