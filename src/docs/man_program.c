/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "docs/man.h"
#include "docs/roff.h"
#include "input/datadir.h"

static void add_commands(fg_text *page) {
  fg_roff_section(page, "COMMANDS");
  const char *group = "";
  for (size_t i = 0; i < fg_commands_count; ++i) {
    const fg_command *command = &fg_commands[i];
    char name[FG_MAN_NAME];
    if (strcmp(group, command->group) != 0)
      fg_roff_subsection(page, command->group);
    group = command->group;
    fg_roff_entry(page);
    fg_roff_reference(page, fg_man_name(command, name), 1, "\n");
    fg_roff_line(page, command->summary);
  }
}

static void add_entry(fg_text *page, const char *tag, const char *meaning) {
  fg_roff_entry(page);
  fg_roff_bold(page, tag);
  fg_roff_end(page);
  fg_roff_line(page, meaning);
}

static void add_environment(fg_text *page) {
  fg_roff_section(page, "ENVIRONMENT");
  add_entry(page, "FLOURGOLD_DATA",
            "The folder that holds configs and plots, in place of the one that came along.");
  add_entry(page, "FLOURGOLD_CATALOGUE",
            "The file of blower classes, in place of a blowers.cfg beside the scenario and the one "
            "that came along.");
  add_entry(page, "OMP_NUM_THREADS",
            "How many processors are put to work; the results are the same for any number.");
}

static void add_files(fg_text *page) {
  fg_roff_section(page, "FILES");
  char folder[PATH_MAX];
  snprintf(folder, sizeof folder, "%s/configs", fg_data_folder);
  add_entry(page, folder,
            "Scenario files of invented washes and machines, the catalogue of blowers, weather, "
            "counts and readings: the examples name them. demo.cfg is the one to start from.");
  snprintf(folder, sizeof folder, "%s/plots", fg_data_folder);
  add_entry(page, folder, "The scripts that draw the pictures by gnuplot.");
}

void fg_docs_program_page(fg_text *page, const char *date) {
  fg_roff_page(page, "flourgold", 1, date);
  fg_roff_section(page, "NAME");
  fg_text_add(page, "flourgold \\- ");
  fg_roff_line(page, "what a dry, blower-driven riffled tray keeps of placer gold");
  fg_roff_section(page, "SYNOPSIS");
  fg_roff_bold(page, "flourgold");
  fg_roff_add(page, " ");
  fg_roff_usage(page, "COMMAND [OPTION]... [FILE]...");
  fg_text_add(page, "\n.br\n");
  fg_roff_bold(page, "flourgold --version");
  fg_roff_end(page);
  fg_roff_section(page, "DESCRIPTION");
  fg_roff_line(page, fg_purpose);
  fg_roff_paragraphs(
      page, "The ground, the deck, the blower and the run are described in a scenario file. The "
            "figures are a model's, unproven on any machine; every report lists what it assumed.");
  add_commands(page);
  fg_man_options(page, NULL);
  add_entry(page, "-V, --version", "Prints the version and the licence.");
  fg_man_exit_status(page);
  add_environment(page);
  add_files(page);
  fg_roff_section(page, "EXAMPLES");
  fg_roff_example(page, "flourgold start -o my_wash.cfg\nflourgold loss my_wash.cfg");
  fg_roff_section(page, "SEE ALSO");
  fg_roff_reference(page, "flourgold-scenario", 5, ",\n");
  fg_roff_reference(page, "flourgold-topics", 7, ",\n");
  fg_roff_reference(page, "gnuplot", 1, "\n");
}
