/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_DRY_CALL_H
#define FG_CLI_DRY_CALL_H

#include "cli/cli.h"
#include "study/drying.h"

/* A drying worked out for a command line; shared by `dry` and `plot drying`. */
typedef struct fg_dry_call {
  fg_scenario scenario;
  fg_weather weather, means;
  fg_drying_options options;
  fg_drying drying;
} fg_dry_call;

/* Options that say what is to be worked out (FG_DRYING_OPTIONS in an option list). */
#define FG_DRYING_OPTIONS                                                                          \
  {"--weather", "CSV", "daily weather: date, rain [in], tmin [degF], tmax [degF] ..."},            \
      {"--means", "CSV", "monthly means for the days after it: month, tmin [degF], tmax [degF]"},  \
      {"--flooded", "DATE", "a wash ran: saturated that day; may be repeated"},                    \
      {"--measured", "DATE=PERCENT", "moisture of what is dug, weighed; may be repeated"},         \
      {"--allow", "SHARE", "of the fine gold that damp may take (default 10 %)"},                  \
      {"--days", "N", "days to look beyond the weather (default 90)"}, {                           \
    "--wind-height", "HEIGHT", "where the wind was measured (default 6.6 ft)"                      \
  }

/* Reads the options, scenario and weather and runs it.  Returns 0, or the exit code after a
 * message.  Free with fg_dry_call_free() in every case. */
int fg_dry_call_run(const fg_call *call, fg_dry_call *dry);
void fg_dry_call_free(fg_dry_call *dry);

/* Reads an option as a quantity; *si is left as it is when it was not given.  Returns 0, or the
 * exit code after a message. */
int fg_dry_call_quantity(const fg_call *call, const char *option, fg_quantity quantity,
                         double lowest, double highest, double *si);

#endif
