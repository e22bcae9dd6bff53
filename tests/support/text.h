/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_TEXT_H
#define FG_TEST_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* Memory and text for the check runner.  Memory comes from one pool that is given back
 * at the end, so nothing is freed singly; the process ends when memory runs out. */

/* Bytes that may hold NUL; bytes[length] is always NUL besides. */
typedef struct fgt_text {
  char *bytes;
  size_t length;
} fgt_text;

void *fgt_alloc(size_t size); /* zeroed */
void fgt_free_all(void);
char *fgt_format(const char *format, ...)
    __attribute__((format(printf, 1, 2), nonnull(1), returns_nonnull));
/* A copy of `array` (count items of `size` bytes) with `item` put behind the last. */
void *fgt_append(const void *array, size_t count, size_t size, const void *item);
fgt_text fgt_text_copy(const char *bytes, size_t length);

/* The whole file, or bytes NULL when it cannot be read. */
fgt_text fgt_read_file(const char *path);

/* text with every `from` replaced by `to`. */
fgt_text fgt_replace(fgt_text text, const char *from, const char *to);
bool fgt_contains(fgt_text text, fgt_text part);

/* Scanning.  Each skips blanks, takes one item and moves the cursor behind it; on failure
 * it returns NULL or false and leaves the cursor where it was. */

/* Up to the next blank outside double quotes; the quotes are kept. */
char *fgt_scan_word(const char **cursor);
/* Takes the word if it is next. */
bool fgt_scan_keyword(const char **cursor, const char *keyword);
/* One argument as a shell splits it: 'as it is', "with escapes", both joined freely. */
char *fgt_scan_argument(const char **cursor);
/* "..." with the escapes \n \t \\ \" \xHH. */
bool fgt_scan_quoted(const char **cursor, fgt_text *out);
/* A finite number, or one followed by % (divided by 100). */
bool fgt_scan_number(const char **cursor, double *value);
bool fgt_at_end(const char *cursor);

#endif
