/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "docs/docs.h"
#include "docs/roff.h"
#include "pages/setting_help.h"
#include "scenario/settings_table.h"

static const char description[] =
    "A scenario file holds what is known of a wash, a machine and a run. It has groups of "
    "settings; "
    "what it leaves out is assumed, and every report lists what was. Settings stand in groups, "
    "each ended by a semicolon; a # begins a comment.\n"
    "A number with a unit stands in double quotes, with the units that people use: \"8 in\", "
    "\"1 1/2 in\", \"60 mesh\", \"445 cfm\", \"75 F\", \"4 3/8 in per ft\", \"2 min/bucket\". "
    "Moisture, clay and humidity must carry their %. Any number may carry its error, one standard "
    "deviation: \"8 in +- 1/8 in\", \"0.8 +- 0.3 %\", \"250 Pa +- 10 %\".\n"
    "A line @include \"other.cfg\" stands for that file's text. blower = \"name\"; takes a class "
    "of "
    "the catalogue; what a group blower gives beside its name counts before the catalogue. The "
    "option --set group.key=value changes one setting for a run.\n"
    "Some settings that few people know have a reading in their place, a thing to measure with "
    "what "
    "a household has; \"Give instead\" names it.";

static const char example[] = "deck = { length = \"32 in\"; width = \"12 in\"; riffles = 7; };\n"
                              "blower = \"backpack_50cc\";\n"
                              "run = { feed = \"2 min/bucket\"; throttle = \"65 %\"; };";

static void add_line(void *context, const char *label, const char *text) {
  fg_text *page = context;
  if (strcmp(label, "Meaning") == 0)
    fg_roff_line(page, text);
  else
    fg_roff_labelled(page, label, text);
}

/* The type, and for numbers the unit that the program holds and JSON shows. */
static void add_type(fg_text *page, const fg_setting *setting) {
  const bool number = setting->type == FG_T_NUMBER;
  const char *unit = number ? fg_quantity_of(setting->quantity)->si_unit : "1";
  fg_roff_add(page, " (");
  fg_roff_add(page, fg_setting_type_text(setting));
  if (strcmp(unit, "1") != 0) {
    fg_roff_add(page, ", in data ");
    fg_roff_add(page, unit);
  }
  fg_roff_line(page, setting->required ? ", required)" : ")");
}

static void add_settings(fg_text *page) {
  fg_roff_section(page, "SETTINGS");
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const fg_setting *setting = &fg_settings[i];
    char group[32];
    if (i == 0 || !fg_setting_same_group((int)i, (int)i - 1)) {
      const size_t length = strcspn(setting->key, ".");
      memcpy(group, setting->key, length);
      group[length] = '\0';
      fg_roff_subsection(page, group);
    }
    fg_roff_entry(page);
    fg_roff_bold(page, setting->key);
    add_type(page, setting);
    fg_setting_explain(setting, FG_UNITS_US, true, add_line, page);
  }
}

void fg_docs_scenario_page(fg_text *page, const char *date) {
  fg_roff_page(page, "flourgold-scenario", 5, date);
  fg_roff_section(page, "NAME");
  fg_text_add(page, "flourgold\\-scenario \\- ");
  fg_roff_line(page, "the settings of a wash, a machine and a run");
  fg_roff_section(page, "DESCRIPTION");
  fg_roff_paragraphs(page, description);
  add_settings(page);
  fg_roff_section(page, "EXAMPLE");
  fg_roff_example(page, example);
  fg_roff_section(page, "SEE ALSO");
  fg_roff_reference(page, "flourgold", 1, ",\n");
  fg_roff_reference(page, "flourgold-keys", 1, ",\n");
  fg_roff_reference(page, "flourgold-check", 1, "\n");
}
