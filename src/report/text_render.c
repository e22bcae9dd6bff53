/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports for people. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/report_internal.h"
#include "report/said.h"

typedef enum block {
  BLOCK_NONE,
  BLOCK_HEADING,
  BLOCK_LINE,
  BLOCK_BULLET,
  BLOCK_ANSWER,
  BLOCK_STAND_IN,
  BLOCK_OTHER
} block;

typedef struct fg_page {
  fg_text *out;
  size_t width;
  fg_unit_system units;
  block last; /* what stands above: blank lines depend on it */
  bool brief; /* the short form */
  bool told;  /* what stands here is told in that form */
} fg_page;

/* A blank line, unless `next` continues what stands above. */
static void begin(fg_page *page, block next) {
  bool joined = page->last == BLOCK_NONE || page->last == BLOCK_HEADING ||
                (page->last == next && next != BLOCK_OTHER);
  if (!joined)
    fg_text_add(page->out, "\n");
  page->last = next;
}

static void heading(fg_page *page, const char *title, int depth) {
  if (page->last != BLOCK_NONE)
    fg_text_add(page->out, "\n");
  size_t start = page->out->length;
  fg_wrap(page->out, title, page->width, 0, 0);
  fg_text_add(page->out, "\n");
  if (depth < 2 && !page->out->failed) {
    size_t width = fg_text_width(page->out->bytes + start, page->out->length - 1 - start);
    fg_text_add_repeated(page->out, depth == 0 ? '=' : '-',
                         width < page->width ? width : page->width);
    fg_text_add(page->out, "\n");
  }
  page->last = BLOCK_HEADING;
}

/* Whether the short form tells this node, or something below it. */
static bool in_brief(const fg_node *node) {
  if ((node->flags & (FG_ANSWER | FG_PROOF | FG_SHORT_ONLY)) != 0)
    return true;
  for (const fg_node *child = node->first; child; child = child->next)
    if (in_brief(child))
      return true;
  return false;
}

static bool is_shown(const fg_page *page, const fg_node *node) {
  if (page->brief ? !page->told && !in_brief(node) : (node->flags & FG_SHORT_ONLY) != 0)
    return false;
  if ((node->flags & FG_DATA_ONLY) != 0 || node->kind == FG_NODE_LIST)
    return false;
  bool scalar = node->kind >= FG_NODE_NUMBER && node->kind <= FG_NODE_STRING;
  return !scalar || node->label;
}

static bool is_line(const fg_page *page, const fg_node *node) {
  return node->kind >= FG_NODE_NUMBER && node->kind <= FG_NODE_STRING && is_shown(page, node);
}

static void add_value(fg_text *value, const fg_node *node, fg_unit_system units) {
  char buffer[128];
  switch (node->kind) {
  case FG_NODE_BAND: {
    const fg_banded figure = {node->si, {node->band[0], node->band[1], node->band[2]}};
    fg_text_add(value, fg_said_banded(node->quantity, units, &figure, buffer, sizeof buffer));
    break;
  }
  case FG_NODE_NUMBER:
    fg_text_add(value,
                fg_said_as(node->quantity, node->flags)
                    ? fg_said(node->quantity, units, node->si, buffer, sizeof buffer)
                    : fg_quantity_text(node->quantity, units, node->si, buffer, sizeof buffer));
    break;
  case FG_NODE_INTEGER:
    fg_text_printf(value, "%ld", node->integer);
    break;
  case FG_NODE_BOOLEAN:
    fg_text_add(value, node->integer != 0 ? "yes" : "no");
    break;
  default:
    fg_text_add(value, node->text && node->text[0] != '\0' ? node->text : "-");
    break;
  }
}

/* "Label ..... value": `lead` is where the values of this run of lines begin. */
static void line(fg_page *page, const fg_node *node, size_t lead) {
  begin(page, BLOCK_LINE);
  fg_text value = {0};
  add_value(&value, node, page->units);
  if (value.failed || !value.bytes) {
    page->out->failed = page->out->failed || value.failed;
    fg_text_add(&value, "");
  }
  size_t label = fg_text_width(node->label, strlen(node->label));
  fg_wrap(page->out, node->label, page->width, 0, 0);
  if (label + 3 <= lead && !value.failed) {
    fg_text_add(page->out, " ");
    fg_text_add_repeated(page->out, '.', lead - label - 2);
    fg_text_add(page->out, " ");
    fg_wrap(page->out, value.bytes, page->width, lead, lead);
  } else if (!value.failed) {
    fg_text_add(page->out, ":\n    ");
    fg_wrap(page->out, value.bytes, page->width, 4, 4);
  }
  fg_text_add(page->out, "\n");
  fg_text_free(&value);
}

/* Where the values of the run of lines starting at `node` begin. */
static size_t lead_of(const fg_page *page, const fg_node *node) {
  size_t most = page->width / 2 + 4;
  size_t lead = 0;
  for (; node; node = node->next) {
    if (!is_shown(page, node))
      continue;
    if (!is_line(page, node))
      break;
    size_t need = fg_text_width(node->label, strlen(node->label)) + 5;
    if (need <= most && need > lead)
      lead = need;
  }
  return lead;
}

static void verbatim(fg_page *page, const char *text) {
  begin(page, BLOCK_OTHER);
  fg_add_clean(page->out, text, strlen(text));
  size_t length = strlen(text);
  if (length == 0 || text[length - 1] != '\n')
    fg_text_add(page->out, "\n");
}

static void paragraph(fg_page *page, const char *text, const char *bullet, block kind) {
  begin(page, kind);
  size_t indent = strlen(bullet);
  fg_text_add(page->out, bullet);
  fg_wrap(page->out, text, page->width, indent, indent);
  fg_text_add(page->out, "\n");
}

static void table(fg_page *page, const fg_node *node, int depth) {
  if (node->label)
    heading(page, node->label, depth > 2 ? depth : 2);
  if (fg_table_rows(node) == 0)
    return;
  begin(page, BLOCK_OTHER);
  fg_render_table(node, page->width, page->units, page->brief ? FG_REST : 0, page->out);
}

static void children(fg_page *page, const fg_node *parent, int depth);

/* A node that is no line. */
static void block_of(fg_page *page, const fg_node *node, const fg_node *parent, int depth) {
  const block lines = (parent->flags & FG_ANSWER) != 0       ? BLOCK_ANSWER
                      : (parent->flags & FG_SHORT_ONLY) != 0 ? BLOCK_STAND_IN
                                                             : BLOCK_OTHER;
  const char *text = node->text ? node->text : "";
  if (node->kind == FG_NODE_NOTE)
    paragraph(page, text, "", lines);
  else if (node->kind == FG_NODE_BULLET)
    paragraph(page, text, "- ", BLOCK_BULLET);
  else if (node->kind == FG_NODE_VERBATIM)
    verbatim(page, text);
  else if (node->kind == FG_NODE_TABLE)
    table(page, node, depth);
  else {
    const bool titled = node->label && page->told;
    if (titled)
      heading(page, node->label, depth);
    children(page, node, depth + titled);
  }
}

static void children(fg_page *page, const fg_node *parent, int depth) {
  size_t lead = 0;
  for (const fg_node *node = parent->first; node; node = node->next) {
    if (!is_shown(page, node))
      continue;
    if (is_line(page, node)) {
      lead = lead > 0 ? lead : lead_of(page, node);
      line(page, node, lead);
      continue;
    }
    lead = 0;
    const bool told = page->told;
    page->told = told || (node->flags & (FG_ANSWER | FG_PROOF | FG_SHORT_ONLY)) != 0;
    block_of(page, node, parent, depth);
    page->told = told;
  }
}

/* Whether the page has an answer to open with. */
static bool has_answer(const fg_node *root) {
  for (const fg_node *node = root->first; node; node = node->next)
    if ((node->flags & FG_ANSWER) != 0 && node->first)
      return true;
  return false;
}

fg_status fg_render_text(const fg_report *report, fg_unit_system units, fg_text *out) {
  const bool brief = !report->full && has_answer(report->root);
  fg_page page = {
      .out = out, .width = (size_t)report->columns, .units = units, .brief = brief, .told = !brief};
  children(&page, report->root, 0);
  return out->failed ? FG_EMEMORY : FG_OK;
}
