/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_SLURP_H
#define FLOURGOLD_CONFIG_SLURP_H

#include <stddef.h>
#include <sys/types.h>

#include "flourgold/status.h"

typedef struct fg_file_identity {
  dev_t device;
  ino_t inode;
} fg_file_identity;

/* Reads a regular file of at most `most` bytes into a fresh terminated string (caller
 * frees).  Never waits: a FIFO, device or directory is refused.  FG_EIO with the reason
 * in message[size], FG_EMEMORY. */
fg_status fg_slurp(const char *path, size_t most, char **bytes, size_t *length,
                   fg_file_identity *identity, char *message, size_t size);

#endif
