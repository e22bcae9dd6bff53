/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DATADIR_H
#define FLOURGOLD_DATADIR_H

#include <stddef.h>

#include "flourgold/status.h"

/* The folder fixed when the program was built (FG_DATA_DIR), without a slash at its end. */
extern const char fg_data_folder[];

/* Finds a file that comes with the program, such as "configs/blowers.cfg".  Looked
 * for, in this order, below: the folder named by the environment variable
 * FLOURGOLD_DATA (only there when it is set and not empty); the folder above the one
 * the running program lies in, when that is a build folder of this project's tree (it holds the
 * marker .flourgold-build) and neither may be written to by everybody; fg_data_folder.  Writes the
 * path into path[size].  FG_EIO when the file is in none of them (path is untouched), FG_EDOMAIN
 * when the path does not fit. */
fg_status fg_data_file(const char *relative, char *path, size_t size);

#endif
