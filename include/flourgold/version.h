/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VERSION_H
#define FLOURGOLD_VERSION_H

#define FG_VERSION "0.1.0"
#define FG_VERSION_DATE "2026-11-26" /* of the manual pages */

#endif
