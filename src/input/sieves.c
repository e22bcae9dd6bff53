/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ground.sieves: what stayed on each sieve of a stack. */
#include <stdio.h>
#include <string.h>

#include "input/reader.h"
#include "input/stack.h"

static const char form[] =
    "( (\"1/4 in\", \"120 g\"), (\"2 mm\", \"340 g\"), (\"pan\", \"90 g\") ): sieve and weight "
    "that "
    "stayed on it, coarse to fine, the pan last; (\"all\", \"550 g\") for what was sieved";

/* An element as text; NULL when it is neither text nor number. */
static const char *element_text(const config_setting_t *setting, char buffer[static 32]) {
  const fg_source nowhere = {.flat = NULL};
  const fg_value value = fg_value_of(setting, &nowhere);
  if (value.kind == FG_V_TEXT)
    return value.text;
  snprintf(buffer, 32, "%.17g", value.number);
  return value.kind == FG_V_NUMBER ? buffer : NULL;
}

static bool read_part(fg_reader *reader, int row, const config_setting_t *entry,
                      const fg_place *place, fg_stack *stack) {
  char message[FG_MESSAGE_MAX], buffer[2][32];
  const int type = config_setting_type(entry);
  const bool pair =
      (type == CONFIG_TYPE_LIST || type == CONFIG_TYPE_ARRAY) && config_setting_length(entry) == 2;
  const char *opening = pair ? element_text(config_setting_get_elem(entry, 0), buffer[0]) : NULL;
  const char *amount = pair ? element_text(config_setting_get_elem(entry, 1), buffer[1]) : NULL;
  if (!opening || !amount) {
    fg_row_fault(reader, row, place, "each sieve is a pair: %s", form);
    return false;
  }
  if (fg_stack_add(stack, opening, amount, message, sizeof message) == FG_OK)
    return true;
  fg_row_fault(reader, row, place, "%s", message);
  return false;
}

void fg_store_sieves(fg_reader *reader, int row, const fg_value *value) {
  char message[FG_MESSAGE_MAX];
  const config_setting_t *tree = value->kind == FG_V_TREE ? value->tree : NULL;
  fg_stack stack = {.weighed = -1};
  if (!tree || config_setting_type(tree) == CONFIG_TYPE_GROUP) {
    fg_row_fault(reader, row, &value->place, "a list is needed: %s", form);
    return;
  }
  for (int i = 0; i < config_setting_length(tree); ++i) {
    const config_setting_t *entry = config_setting_get_elem(tree, (unsigned)i);
    const fg_place place = fg_source_place(value->source, entry);
    if (!read_part(reader, row, entry, &place, &stack))
      return;
  }
  if (fg_stack_finish(&stack, message, sizeof message) != FG_OK) {
    fg_row_fault(reader, row, &value->place, "%s", message);
    return;
  }
  memcpy(reader->scenario->ground.sieves, stack.parts, stack.count * sizeof stack.parts[0]);
  reader->scenario->ground.sieve_count = stack.count;
}
