/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_READER_H
#define FLOURGOLD_CONFIG_READER_H

#include <libconfig.h>
#include <stdbool.h>
#include <stddef.h>

#include "core/faults.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/prescan.h"
#include "model/resolve.h"

/* A scenario on its way from text to struct.  Files, the catalogue and --set all end in
 * fg_store(), one value of one row of the settings table at a time. */

/* A text that libconfig has read. */
typedef struct fg_document {
  fg_flat flat;
  config_t config;
  bool parsed; /* config holds the text */
} fg_document;

typedef struct fg_reader {
  const char *path; /* of the scenario file */
  fg_scenario *scenario;
  fg_scenario standard; /* all defaults */
  fg_faults faults;
  fg_faults remarks;               /* about a scenario that can be used */
  fg_place place[FG_SETTINGS_MAX]; /* of each given row */
  bool faulty[FG_SETTINGS_MAX];    /* given, but not usable */
  bool blower_faulty;              /* the blower as a whole */
  fg_document catalogue;
  bool catalogue_tried;
} fg_reader;

/* Where the settings being read come from. */
typedef struct fg_source {
  const fg_flat *flat; /* NULL: all are at `fixed` */
  fg_place fixed;      /* with `flat`: an order other than 0 counts for all */
  fg_origin origin;
} fg_source;

/* One value as written. */
typedef struct fg_value {
  enum { FG_V_TEXT, FG_V_NUMBER, FG_V_TRUTH, FG_V_TREE } kind;
  const char *text;
  double number;
  bool whole; /* the number was written without point */
  bool truth;
  const config_setting_t *tree;
  fg_place place;
  const fg_source *source;
} fg_value;

enum { FG_KEY_MAX = 96 };

/* element.c */
fg_place fg_source_place(const fg_source *source, const config_setting_t *setting);
fg_value fg_value_of(const config_setting_t *setting, const fg_source *source);
/* Complains about a row and marks it. */
void fg_row_fault(fg_reader *reader, int row, const fg_place *place, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* "60 mesh", 0.25 ...: one element of a list, as a quantity.  False with a sentence. */
bool fg_element_quantity(const config_setting_t *setting, fg_quantity quantity, double *si,
                         char *message, size_t size);

/* value.c */
void fg_store(fg_reader *reader, int row, const fg_value *value);
void fg_reset_row(fg_reader *reader, int row);
/* The range check of a number row; false after a complaint.  `shown` is the value as
 * written. */
bool fg_check_range(fg_reader *reader, int row, double si, const char *shown,
                    const fg_place *place);

/* lists.c */
void fg_store_classes(fg_reader *reader, int row, const fg_value *value);
void fg_store_curve(fg_reader *reader, int row, const fg_value *value);

/* sieves.c */
void fg_store_sieves(fg_reader *reader, int row, const fg_value *value);

/* groups.c */
/* True when the table has keys that begin with "name.". */
bool fg_group_known(const char *name);
/* Finds the row of a key; complains, with the nearest key, and returns -1 otherwise. */
int fg_find_row(fg_reader *reader, const char *key, const fg_place *place);
/* Reads every setting of a group. */
void fg_read_group(fg_reader *reader, const config_setting_t *group, const char *name,
                   const fg_source *source);
/* Reads a whole file's groups. */
void fg_read_root(fg_reader *reader, const config_setting_t *root, const fg_source *source);
/* Reads what stands for a group as a whole: { ... }, or a blower's name. */
void fg_read_whole_group(fg_reader *reader, const char *name, const fg_value *value);

/* Forgets all that is known of the blower. */
void fg_reset_blower(fg_reader *reader);
/* Takes the blower of that name from the catalogue, in place of all that is known of the
 * blower so far. */
void fg_catalogue_blower(fg_reader *reader, const char *name, const fg_place *place,
                         fg_origin origin);

/* catalogue.c */
/* The group of the blower of that name in the catalogue, which is read at the first call; NULL
 * after a complaint. */
const config_setting_t *fg_catalogue_entry(fg_reader *reader, const char *name,
                                           const fg_place *place);
/* The catalogue's path: named by the environment, beside the scenario, or the one that comes
 * with the program; path has room for PATH_MAX.  False when there is none. */
bool fg_catalogue_path(const char *scenario_path, char *path);

/* overrides.c */
void fg_apply_set(fg_reader *reader, const char *set, size_t index);

/* crosscheck.c */
/* Settings that exclude one another, that are missing, that do not fit together. */
void fg_check_exclusive(fg_reader *reader);
void fg_check_missing(fg_reader *reader);
void fg_check_together(fg_reader *reader);

/* document.c */
/* Hands the flat text of a document to libconfig.  FG_ESCENARIO after a complaint; FG_EMEMORY,
 * with faults->failed, when it holds fewer settings than the text has. */
fg_status fg_document_parse(fg_document *document, fg_faults *faults);
/* Whether libconfig holds every setting that the pre-scan saw: where memory runs out it leaves
 * settings away and says nothing. */
bool fg_document_whole(const fg_document *document);
void fg_document_free(fg_document *document);

#endif
