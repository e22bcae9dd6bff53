/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/topics.h"
#include "docs/man.h"
#include "docs/roff.h"

void fg_docs_topics_page(fg_text *page, const char *date) {
  fg_roff_page(page, "flourgold-topics", 7, date);
  fg_roff_section(page, "NAME");
  fg_text_add(page, "flourgold-topics \\- ");
  fg_roff_line(page, "what 'flourgold help TOPIC' explains");
  fg_roff_section(page, "DESCRIPTION");
  for (size_t i = 0; i < fg_topics_count; ++i) {
    fg_roff_subsection(page, fg_topics[i].name);
    fg_roff_paragraphs(page, fg_topics[i].summary);
    if (fg_topics[i].opening) {
      fg_text_add(page, ".PP\n");
      fg_roff_paragraphs(page, fg_topics[i].opening);
    }
    fg_text_add(page, ".PP\n");
    fg_roff_paragraphs(page, fg_topics[i].text);
  }
  fg_roff_section(page, "SEE ALSO");
  fg_roff_reference(page, "flourgold", 1, "\n");
}
