/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_DOCS_MAN_H
#define FG_DOCS_MAN_H

#include "docs/docs.h"

/* Sections that the pages of the program and of its commands share. */

/* "OPTIONS" of a command; NULL: those that every command knows. */
void fg_man_options(fg_text *page, const fg_command *command);
void fg_man_exit_status(fg_text *page);
/* The name of a command's page, "flourgold-loss".  Returns buffer. */
enum { FG_MAN_NAME = 64 };
const char *fg_man_name(const fg_command *command, char buffer[FG_MAN_NAME]);

#endif
