/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/prescan_internal.h"

/* libconfig's grammar, checked token by token before libconfig sees the text: its own
 * parser says no more than "syntax error", and loses memory when it stops at a string. */

static fg_bracket *innermost(fg_scanner *s) {
  return s->nesting > 0 ? &s->brackets[s->nesting - 1] : NULL;
}

static bool in_group(fg_scanner *s) { return s->nesting == 0 || innermost(s)->open == '{'; }

static bool is_value(fg_token token) {
  return token >= FG_TOKEN_INTEGER && token <= FG_TOKEN_TRUTH;
}

static bool complain(fg_scanner *s, const char *what) {
  fg_scan_stop(s, "%s", what);
  return false;
}

static bool unexpected(fg_scanner *s, fg_token token) {
  switch (s->expect) {
  case FG_EXPECT_NAME:
    return complain(s, token == FG_TOKEN_END || token == FG_TOKEN_COMMA
                           ? "a ; or , too many"
                           : "a setting's name is needed here, as in  name = value;");
  case FG_EXPECT_EQUALS:
    return complain(s, "a = is missing after the name");
  case FG_EXPECT_VALUE:
  case FG_EXPECT_FIRST:
    return complain(s, "a value is missing here");
  case FG_EXPECT_AFTER:
    break;
  }
  if (!in_group(s))
    return complain(s, "a comma is missing between two values");
  return complain(s, "one value only for a setting (a list goes in brackets: ( , )); is a \" or a "
                     "; missing?");
}

/* All values between [ and ] must be of one kind. */
static bool check_array(fg_scanner *s, fg_token token) {
  fg_bracket *bracket = innermost(s);
  if (!bracket || bracket->open != '[')
    return true;
  if (token == FG_TOKEN_OPEN || (bracket->first != FG_TOKEN_NONE && bracket->first != token))
    return complain(s, "between [ and ] stand plain values of one kind; use ( and ) instead");
  bracket->first = token;
  return true;
}

static bool value_token(fg_scanner *s, fg_token token) {
  /* Strings side by side are one. */
  if (s->expect == FG_EXPECT_AFTER && token == FG_TOKEN_STRING && s->last == FG_TOKEN_STRING)
    return true;
  if (s->expect != FG_EXPECT_VALUE && s->expect != FG_EXPECT_FIRST)
    return unexpected(s, token);
  if (!check_array(s, token))
    return false;
  ++s->flat->settings;
  s->expect = FG_EXPECT_AFTER;
  return true;
}

static bool close_token(fg_scanner *s) {
  const bool group = in_group(s);
  if (group ? s->expect == FG_EXPECT_NAME || s->expect == FG_EXPECT_AFTER
            : s->expect == FG_EXPECT_FIRST || s->expect == FG_EXPECT_AFTER)
    return true;
  return unexpected(s, FG_TOKEN_CLOSE);
}

bool fg_grammar_accept(fg_scanner *s, fg_token token) {
  if (is_value(token) || token == FG_TOKEN_OPEN)
    return value_token(s, token);
  if (token == FG_TOKEN_CLOSE)
    return close_token(s);
  if (token == FG_TOKEN_NAME) {
    const bool fits = s->expect == FG_EXPECT_NAME || (s->expect == FG_EXPECT_AFTER && in_group(s));
    if (!fits)
      return unexpected(s, token);
    s->expect = FG_EXPECT_EQUALS;
  } else if (token == FG_TOKEN_EQUALS) {
    if (s->expect != FG_EXPECT_EQUALS)
      return unexpected(s, token);
    s->expect = FG_EXPECT_VALUE;
  } else { /* ; or , */
    if (s->expect != FG_EXPECT_AFTER)
      return unexpected(s, token);
    if (!in_group(s) && token == FG_TOKEN_END)
      return complain(s, "a ; stands where a , or a closing bracket is needed");
    s->expect = in_group(s) ? FG_EXPECT_NAME : FG_EXPECT_VALUE;
  }
  return true;
}

void fg_grammar_opened(fg_scanner *s) {
  s->expect = in_group(s) ? FG_EXPECT_NAME : FG_EXPECT_FIRST;
}

void fg_grammar_closed(fg_scanner *s) { s->expect = FG_EXPECT_AFTER; }

bool fg_grammar_complete(const fg_scanner *s) {
  return s->expect == FG_EXPECT_NAME || s->expect == FG_EXPECT_AFTER;
}
