/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DATE_H
#define FLOURGOLD_DATE_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/status.h"

/* Days as whole numbers: 0 is 1 January 1970, Gregorian calendar, years 1600 to 2999. */

enum { FG_DATE_TEXT_MAX = 16 };

/* Reads "2024-03-15" (ISO 8601), blanks around it allowed.  FG_EDOMAIN when the text is
 * not of that form or there is no such day. */
fg_status fg_date_parse(const char *text, int *day);

/* The same, and "3/15/2024" or "3/15/24" with the month first, as the United States write it.
 * *either (may be NULL) tells whether such a text could have been meant with the day first. */
fg_status fg_date_read(const char *text, int *day, bool *either);

/* Writes "2024-03-15" into buffer (at least FG_DATE_TEXT_MAX bytes); returns it. */
const char *fg_date_text(int day, char *buffer, size_t size);

/* Day of the year, 1 to 366. */
int fg_date_day_of_year(int day);

/* Month, 1 to 12. */
int fg_date_month(int day);

/* Day of the year of a date written any usual way: "2024-09-03", "09-03", "3 Sept",
 * "September 3", "246".  Without a year a common year is taken; "29 Feb" is day 60.
 * FG_EDOMAIN when it is none of these. */
fg_status fg_date_season(const char *text, int *day_of_year);

#endif
