/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_DOCS_ROFF_H
#define FG_DOCS_ROFF_H

#include "core/text.h"

/* Manual pages in roff with the macros of man(7).  Every text is plain: what roff would take for a
 * request, an escape or a typographic hyphen is written so that it prints as it stands. */

/* Starts a page: `name` as "flourgold-loss". */
void fg_roff_page(fg_text *page, const char *name, int section, const char *date);
void fg_roff_section(fg_text *page, const char *title);
void fg_roff_subsection(fg_text *page, const char *title);

/* A paragraph for each part of `text`, which line feeds part. */
void fg_roff_paragraphs(fg_text *page, const char *text);

/* Starts an entry with a tag; fg_roff_add() or fg_roff_bold() and fg_roff_value() write the tag,
 * fg_roff_line() then what stands beside it. */
void fg_roff_entry(fg_text *page);

/* Adds text to the line under way, as it is, in bold, in italics. */
void fg_roff_add(fg_text *page, const char *text);
void fg_roff_bold(fg_text *page, const char *text);
void fg_roff_italic(fg_text *page, const char *text);

/* A synopsis: words in capitals stand for something (italic), options are bold. */
void fg_roff_usage(fg_text *page, const char *usage);

/* Ends the line under way. */
void fg_roff_end(fg_text *page);
/* A whole line of text, and one on a new output line with a label before it. */
void fg_roff_line(fg_text *page, const char *text);
void fg_roff_labelled(fg_text *page, const char *label, const char *text);

/* Lines kept as they are: an example. */
void fg_roff_example(fg_text *page, const char *text);

/* A reference to another page, with `end` behind it. */
void fg_roff_reference(fg_text *page, const char *name, int section, const char *end);

#endif
