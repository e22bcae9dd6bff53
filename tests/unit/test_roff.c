/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts in manual pages print as they stand.  The escapes are those of groff_char(7) and groff(7).
 */
#include <stdlib.h>
#include <string.h>

#include "docs/roff.h"
#include "fg_test.h"

static void expect(fg_text *page, const char *expected) {
  char *text = fg_text_take(page, NULL);
  assert_non_null(text);
  assert_string_equal(text, expected);
  free(text);
}

static void test_what_roff_would_take_for_its_own(void **state) {
  (void)state;
  fg_text page = {0};
  fg_roff_line(&page, "a\\b --set 'x' \"y\" `z` ^ ~");
  expect(&page, "a\\eb \\-\\-set \\(aqx\\(aq \\(dqy\\(dq \\(gaz\\(ga \\(ha \\(ti\n");
}

static void test_a_dot_is_no_request(void **state) {
  (void)state;
  fg_text page = {0};
  fg_roff_line(&page, ".svg or .png");
  fg_roff_line(&page, "'tis");
  fg_roff_paragraphs(&page, "one\n.two");
  expect(&page, "\\&.svg or .png\n\\(aqtis\none\n.PP\n\\&.two\n");
}

/* U+00B1 is C2 B1 in UTF-8, U+2265 is E2 89 A5, U+1D70C is F0 9D 9C 8C (Unicode 15, table 3-6). */
static void test_beyond_ascii(void **state) {
  (void)state;
  fg_text page = {0};
  fg_roff_line(&page, "\xc2\xb1 \xe2\x89\xa5 \xf0\x9d\x9c\x8c");
  expect(&page, "\\[u00B1] \\[u2265] \\[u1D70C]\n");
}

static void test_a_synopsis(void **state) {
  (void)state;
  fg_text page = {0};
  fg_roff_usage(&page, "[NAME [key=value ...]] FILE... -o PICTURE [options]");
  expect(&page, "[\\fINAME\\fR [\\fIkey=value\\fR ...]] \\fIFILE\\fR... \\fB\\-o\\fR "
                "\\fIPICTURE\\fR [options]");
}

static void test_a_heading_in_quotes(void **state) {
  (void)state;
  fg_text page = {0};
  fg_roff_section(&page, "SEE \"ALSO\"");
  fg_roff_entry(&page);
  fg_roff_bold(&page, "-o");
  fg_roff_end(&page);
  fg_roff_labelled(&page, "Default", ".5");
  expect(&page, ".SH \"SEE \\(dqALSO\\(dq\"\n.TP\n\\fB\\-o\\fR\n.br\n\\fIDefault\\fR: .5\n");
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_roff_would_take_for_its_own),
      cmocka_unit_test(test_a_dot_is_no_request),
      cmocka_unit_test(test_beyond_ascii),
      cmocka_unit_test(test_a_synopsis),
      cmocka_unit_test(test_a_heading_in_quotes),
  };
  return FG_RUN_GROUP(tests);
}
