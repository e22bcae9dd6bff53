/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A finished tree as text, JSON or CSV. */
#include "report/report_internal.h"

/* Whether every table below `node` consists of whole rows. */
static bool whole_rows(const fg_node *node) {
  if (node->kind == FG_NODE_TABLE && node->cell_count > 0 &&
      node->cell_count % node->column_count != 0)
    return false;
  for (const fg_node *child = node->first; child; child = child->next)
    if (!whole_rows(child))
      return false;
  return true;
}

fg_status fg_report_render(const fg_report *report, fg_format format, fg_unit_system units,
                           char **out, size_t *length) {
  if (report->fault != FG_OK)
    return report->fault;
  if (!whole_rows(report->root))
    return FG_EDOMAIN;
  fg_text text = {0};
  fg_status status = FG_OK;
  if (format == FG_FORMAT_JSON)
    status = fg_render_json(report, &text);
  else if (format == FG_FORMAT_CSV)
    status = fg_render_csv(report, &text);
  else
    status = fg_render_text(report, units, &text);
  if (status != FG_OK) {
    fg_text_free(&text);
    return status;
  }
  size_t bytes = 0;
  char *string = fg_text_take(&text, &bytes);
  if (!string)
    return FG_EMEMORY;
  *out = string;
  *length = bytes;
  return FG_OK;
}
