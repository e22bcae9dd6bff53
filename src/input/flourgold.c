/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/flourgold.h"

#include <gsl/gsl_errno.h>

#include "core/write.h"
#include "input/unit_names.h"

void fg_init(void) { gsl_set_error_handler_off(); }

void fg_finish(void) {
  fg_units_free();
  fg_write_forget();
}

const char *fg_version(void) { return FG_VERSION; }
