/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TOPICS_H
#define FLOURGOLD_TOPICS_H

#include <stddef.h>

/* What `flourgold help` explains besides the commands. */
typedef struct fg_topic {
  const char *name;
  const char *summary; /* one line, no full stop */
  const char *opening; /* one paragraph, or NULL */
  /* Paragraphs with a line feed between; one that begins with "- " is a bullet. */
  const char *text;
} fg_topic;

extern const fg_topic fg_topics[];
extern const size_t fg_topics_count;

/* Row of a topic, or NULL. */
const fg_topic *fg_topic_find(const char *name);

#endif
