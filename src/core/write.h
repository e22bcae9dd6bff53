/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CORE_WRITE_H
#define FLOURGOLD_CORE_WRITE_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

#include "flourgold/status.h"

/* Writes bytes to `path` so that the old content stays whole until the new is on
 * disk: for a regular (or absent) file a temporary file in the same folder, fsync,
 * rename (keeping the old file's mode); for a pipe or device a plain write.  A
 * symbolic link is followed and stays; /dev/stdout and its like write to the open
 * descriptor.  FG_EIO on failure: message says what and where, and nothing of ours
 * is left behind.  One call at a time. */
fg_status fg_write_file(const char *path, const void *bytes, size_t length, char *message,
                        size_t size);

/* Whether fg_write_file() could write to `path` as things stand: its folder is there and open to
 * us, and it is no folder itself.  FG_EIO with the message that writing would give. */
fg_status fg_write_check(const char *path, char *message, size_t size);

/* Removes the temporary file of an fg_write_file() under way, if there is one.
 * Safe inside a signal handler; the program must end afterwards. */
void fg_write_abandon(void);

/* Notes a file that is read: fg_write_file() and fg_write_check() refuse to replace it from then
 * on.  FG_EMEMORY. */
fg_status fg_write_protect(dev_t device, ino_t inode, const char *path);

/* Whether both names lead to one regular file, or would once it is written: links are followed and
 * folders compared, however they are named.  Pipes and devices are never the same. */
bool fg_write_same(const char *a, const char *b);

/* Forgets all that was noted, and frees it. */
void fg_write_forget(void);

/* The name under which the file at `path` was noted, or NULL. */
const char *fg_write_protected(const char *path);

#endif
