/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SHARE_HINT_H
#define FLOURGOLD_SHARE_HINT_H

#include <stddef.h>

#include "flourgold/settings.h"

/* What was probably meant by a share, as `written`, that is far above the setting's range:
 * "; for 80 % write \"80 %\"", or "" when nothing is plain.  hint[size] is always terminated. */
void fg_share_hint(const fg_setting *setting, double si, const char *written, char *hint,
                   size_t size);

#endif
