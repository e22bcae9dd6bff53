/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_PRESCAN_INTERNAL_H
#define FLOURGOLD_CONFIG_PRESCAN_INTERNAL_H

#include "core/slurp.h"
#include "input/prescan.h"

/* prescan.c, lexer.c and grammar.c are one parser in three files and call one another: an @include
 * is scanned from within the text that holds it. */

/* Tokens of libconfig's language. */
typedef enum fg_token {
  FG_TOKEN_NONE = 0,
  FG_TOKEN_INTEGER, /* the values: integer to truth */
  FG_TOKEN_FLOAT,
  FG_TOKEN_STRING,
  FG_TOKEN_TRUTH,
  FG_TOKEN_NAME,
  FG_TOKEN_EQUALS,
  FG_TOKEN_OPEN,
  FG_TOKEN_CLOSE,
  FG_TOKEN_COMMA,
  FG_TOKEN_END /* ; */
} fg_token;

/* What may come next. */
typedef enum fg_expect {
  FG_EXPECT_NAME = 0,
  FG_EXPECT_EQUALS,
  FG_EXPECT_VALUE,
  FG_EXPECT_FIRST, /* a list's first value, or its end */
  FG_EXPECT_AFTER  /* what follows a value */
} fg_expect;

typedef struct fg_bracket {
  char open;
  fg_token first; /* of an array: the kind of its values */
  fg_place place;
} fg_bracket;

typedef struct fg_scanner {
  fg_flat *flat;
  fg_faults *faults;
  bool in_memory; /* no includes */
  bool stopped;   /* what follows can no longer be told apart */

  fg_file_identity open_files[FG_FLAT_DEPTH_MAX + 1];
  int depth;
  fg_bracket brackets[FG_FLAT_NESTING_MAX];
  int nesting;
  fg_expect expect;
  fg_token last;
  size_t string_run; /* bytes of strings that libconfig will join */

  /* the file being scanned */
  const char *p;
  int file, line;
  bool line_start; /* nothing but blanks on this line so far */
} fg_scanner;

/* prescan.c: the flat text */
void fg_scan_emit(fg_scanner *scanner, const char *bytes, size_t length);
void fg_scan_newline(fg_scanner *scanner);
fg_place fg_scan_place(const fg_scanner *scanner);
/* Reports a fault at the current place and stops the scan. */
void fg_scan_stop(fg_scanner *scanner, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Handles the @include at scanner->p. */
void fg_scan_include(fg_scanner *scanner);

/* grammar.c: false after a complaint that the token cannot stand at scanner->p */
bool fg_grammar_accept(fg_scanner *scanner, fg_token token);
/* A bracket was put on, or taken off, the stack. */
void fg_grammar_opened(fg_scanner *scanner);
void fg_grammar_closed(fg_scanner *scanner);
/* Whether the text may end here. */
bool fg_grammar_complete(const fg_scanner *scanner);

/* lexer.c: scans the terminated text at scanner->p to its end */
void fg_scan_text(fg_scanner *scanner);

#endif
