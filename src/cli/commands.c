/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of commands: the command line and the help are read from it. */
#include <string.h>

#include "cli/cli.h"

static const fg_option check_options[] = {
    {"--effective", NULL, "list every setting in force, given or assumed"},
    {NULL, NULL, NULL},
};

static const fg_option settle_options[] = {
    {"--laws", NULL, "show all drag laws side by side"},
    {"--minerals", "LIST", "minerals beside gold and quartz, with commas (default: magnetite)"},
    {NULL, NULL, NULL},
};

static const fg_option loss_options[] = {
    {"--fresh", NULL, "the deck just cleaned, instead of the mean between two cleanings"},
    FG_ENSEMBLE_OPTIONS,
    {NULL, NULL, NULL},
};

static const fg_option plot_options[] = {
    {"--size", "SIZE", "the gold shown by the picture deck: '0.2 mm' or '70 mesh'"},
    {NULL, NULL, NULL},
};

#define RUNNING "What the deck does"
#define SCENARIOS "Scenario files"
#define OTHER "Other"

const fg_command fg_commands[] = {
    {
        .name = "loss",
        .group = RUNNING,
        .summary = "how much gold of each size is kept, and how the rest is lost",
        .usage = "FILE [options]",
        .example = "flourgold loss configs/demo.cfg",
        .details = "Works out the air through the deck, whether the bed runs, and for each size "
                   "of gold the share that stays behind the riffles, sticks to sand, is blown "
                   "off, is carried over the tail or is shaken out again. The figures are the "
                   "mean over the time between two cleanings.\n"
                   "A deck that stalls has no loss table: the state, what is missing and what "
                   "would help are shown, and the exit status is 1.",
        .files = FG_FILES_ONE,
        .options = loss_options,
        .run = fg_cmd_loss,
    },
    {
        .name = "settle",
        .group = RUNNING,
        .summary = "how fast gold, black sand and quartz fall in that day's air",
        .usage = "FILE [options]",
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
        .name = "plot",
        .group = RUNNING,
        .summary = "draw a picture: loss, settling, riffles, operating or deck",
        .usage = "NAME FILE -o PICTURE [options]",
        .example = "flourgold plot loss configs/demo.cfg -o loss.svg",
        .details = "loss: kept and each way of losing, by size. settling: velocity against size, "
                   "with the deck's lift line. riffles: what each riffle holds, by size. "
                   "operating: the blower's curve against the box. deck: where one size is, over "
                   "the depth and along the deck.\n"
                   "The ending of PICTURE, .svg or .png, says which kind of picture it is. The "
                   "drawing is done by gnuplot; its data are written beside the picture, with "
                   ".csv behind the name.",
        .words_least = 1,
        .words_most = 1,
        .word = "the name of a picture",
        .files = FG_FILES_ONE,
        .picture = true,
        .options = plot_options,
        .run = fg_cmd_plot,
    },
    {
        .name = "check",
        .group = SCENARIOS,
        .summary = "read a scenario file; say what was given and what is assumed",
        .usage = "FILE [options]",
        .example = "flourgold check configs/demo.cfg --effective",
        .details = "Every fault in the file is reported with its line, what is wrong and what "
                   "would be right; the exit status is then 2.",
        .files = FG_FILES_ONE,
        .options = check_options,
        .run = fg_cmd_check,
    },
    {
        .name = "keys",
        .group = SCENARIOS,
        .summary = "explain the settings a scenario file may hold",
        .usage = "[PATTERN] [options]",
        .example = "flourgold keys 'deck.*'",
        .details = "PATTERN is a part of a key (\"riffle\") or a pattern with * and ? for the "
                   "whole key (\"deck.*\", in quotes so that the shell leaves it alone). Without "
                   "it all settings are listed.",
        .words_most = 1,
        .word = "a pattern",
        .run = fg_cmd_keys,
    },
    {
        .name = "calc",
        .group = OTHER,
        .summary = "work one published formula, with its source",
        .usage = "[NAME [key=value ...]] [options]",
        .example = "flourgold calc air elevation='3000 ft' temperature='90 F'",
        .details = "Without NAME the formulas are listed; 'flourgold calc NAME' shows what one "
                   "takes. Values with a dimension need their unit.",
        .words_most = -1,
        .word = "the name of a formula",
        .run = fg_cmd_calc,
    },
    {
        .name = "help",
        .group = OTHER,
        .summary = "list the commands, or explain one",
        .usage = "[COMMAND]",
        .example = "flourgold help loss",
        .details = "'flourgold COMMAND --help' does the same.",
        .words_most = 1,
        .word = "a command",
        .run = fg_cmd_help,
    },
};

const size_t fg_commands_count = sizeof fg_commands / sizeof fg_commands[0];

const fg_command *fg_command_find(const char *name) {
  for (size_t i = 0; i < fg_commands_count; i++)
    if (strcmp(fg_commands[i].name, name) == 0)
      return &fg_commands[i];
  return NULL;
}
