/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_READINGS_H
#define FLOURGOLD_READINGS_H

#include <stdbool.h>
#include <stddef.h>

#include "core/project.h"
#include "flourgold/complaints.h"
#include "flourgold/status.h"

/* Black-sand readings at places, from a CSV table or the waypoints of a GPX file. */

enum {
  FG_SPOT_NAME = 40, /* bytes of a name, terminator included; longer ones are cut */
  FG_READINGS_MOST = 20000,
  FG_READINGS_FILE_MOST = 32 << 20 /* bytes */
};

typedef struct fg_reading {
  char name[FG_SPOT_NAME];
  double x_m, y_m;                    /* east and north */
  double latitude_deg, longitude_deg; /* NaN: not known */
  double value;                       /* on the scale of the file; percent as 0 to 100 */
  double pan;                         /* what a pan held there; NaN: not panned */
  int merged;     /* readings at this place, 1 or more, of which value is the mean */
  double scatter; /* sum of the squared deviations of these from it */
} fg_reading;

/* An old shaft, adit or the like: marked, never entered. */
typedef struct fg_working {
  char name[FG_SPOT_NAME];
  double x_m, y_m;
  double latitude_deg, longitude_deg;
} fg_working;

typedef struct fg_readings {
  fg_reading *list;
  size_t count;
  fg_working *workings;
  size_t working_count;
  bool degrees;             /* positions were in degrees: x and y count from their middle */
  bool placed;              /* latitudes and longitudes are known */
  bool percent;             /* readings are percent, else a scale of their own */
  double unit_m;            /* length unit of the file's x and y, in metres */
  char unit[4];             /* its name: "m", "ft", "yd", "km" */
  char field[FG_SPOT_NAME]; /* where the reading was taken from */
  char pan[FG_SPOT_NAME];   /* the same of the pan counts; "" without any */
  fg_tmerc projection;      /* when placed */
  size_t rows;              /* places in the file */
  size_t without;           /* of them without a reading and not old workings */
  size_t at_workings;       /* readings left out because they stand at old workings */
  size_t merged;            /* readings beyond the first of a place */
  size_t track_points;      /* of a GPX file, left aside */
} fg_readings;

typedef struct fg_readings_options {
  const char *field; /* column or element of the reading; NULL: one of the usual names */
  const char *pan;   /* of the pan counts; NULL: the same */
  bool origin;       /* the place of x = y = 0 is given */
  double origin_latitude_deg, origin_longitude_deg;
} fg_readings_options;

/* Reads a file of either kind; which, its content tells.  Positions in degrees (WGS 84) become
 * metres by fg_tmerc_set() about their middle and must lie within 20 km of it.  Readings at one
 * place (within 1 cm) become one, with their mean and scatter.  GPX is read without a document
 * type: no entity is expanded and nothing is fetched.  At least one reading comes back.
 * FG_ESCENARIO: faults, each in *complaints as "file:line: what, what would be right"; FG_EIO:
 * the file cannot be read, likewise; FG_EMEMORY.  Free with fg_readings_free() after FG_OK. */
fg_status fg_readings_read(const char *path, const fg_readings_options *options, fg_readings *out,
                           fg_complaints *complaints);
void fg_readings_free(fg_readings *readings);

/* Latitude and longitude of x and y; NaN when the readings are not placed. */
void fg_readings_locate(const fg_readings *readings, double x_m, double y_m, double *latitude_deg,
                        double *longitude_deg);

/* A place as the file writes positions: X and Y in its unit, or latitude and longitude when it has
 * degrees.  False with a sentence in message[size]. */
bool fg_readings_place(const fg_readings *readings, double a, double b, double *x_m, double *y_m,
                       char *message, size_t size);

#endif
