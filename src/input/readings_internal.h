/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SITE_READINGS_INTERNAL_H
#define FLOURGOLD_SITE_READINGS_INTERNAL_H

#include "input/readings.h"

/* A place as the file has it. */
typedef struct fg_spot {
  char name[FG_SPOT_NAME];
  double x, y;  /* in the file's unit; longitude and latitude when that is degrees */
  double value; /* NaN: none */
  double pan;   /* NaN: none */
  bool working;
  int line;
} fg_spot;

/* A file being read. */
typedef struct fg_spots {
  const char *path;
  const fg_readings_options *options;
  fg_complaints *complaints;
  fg_spot *list;
  size_t count, room;
  bool failed;                    /* memory ran out */
  bool full;                      /* more than FG_READINGS_MOST; said once */
  size_t with_sign, without_sign; /* readings with and without a percent sign */
  fg_readings made;               /* what is known of the whole */
} fg_spots;

/* Which of two kinds of value a name stands for. */
typedef enum fg_spot_field { FG_SPOT_READING, FG_SPOT_PAN } fg_spot_field;

/* Writes a name with lower-case letters and digits, "%" as percent, all else as one '_' ("x (m)"
 * becomes "x_m"). */
void fg_spot_plain_name(const char *text, char plain[static FG_SPOT_NAME]);

/* Whether a plain name is that of the field: the asked-for name or one of the usual ones,
 * with or without a unit behind it. */
bool fg_spot_is_field(const fg_spots *spots, fg_spot_field field, const char *plain);

/* The usual names, for messages. */
const char *fg_spot_usual(fg_spot_field field);

/* Copies a name for people: valid UTF-8, no control characters, blanks trimmed, cut to fit. */
void fg_spot_set_name(char name[static FG_SPOT_NAME], const char *text);

/* Reads a cell: empty, "-" or "na" gives NaN.  A wrong one is a complaint and gives NaN. */
double fg_spot_value(fg_spots *spots, fg_spot_field field, const char *text, int line);

/* Adds a place; too many are a complaint. */
void fg_spots_add(fg_spots *spots, const fg_spot *spot);

/* From the file's positions to metres; a place too far off is a complaint. */
void fg_spots_project_degrees(fg_spots *spots);
void fg_spots_project_plane(fg_spots *spots);

/* Each reads the bytes (terminated) of a file of its kind. */
void fg_spots_read_csv(fg_spots *spots, char *bytes, size_t length);
void fg_spots_read_gpx(fg_spots *spots, const char *bytes, size_t length);

#endif
