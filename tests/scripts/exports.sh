#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The shared library gives away the functions of the export list, the list holds the functions
# declared for users, and all functions of a header begin alike, as those of no other header do.
# Usage: exports.sh LIBRARY LIST STATIC-LIBRARY
set -u

# shellcheck source=tests/scripts/counting.sh
. "${0%/*}/counting.sh"

# compare WHAT ONE OTHER: two sorted lists of names.
compare() {
  diff "$2" "$3" >"$work/said"
  verdict $? "$1 (< the first alone, > the second alone)"
}

# Functions declared in the headers named, one a line; the compiler takes the comments away.
declared() {
  for header in "$@"; do
    sed 's/^#include.*//' "$header"
  done | ${CC:-cc} -E -P -x c - | tr '\n' ' ' | grep -oE '\bfg_[a-z0-9_]+\(' | tr -d '(' | sort -u
}

nm -D --defined-only "$1" | sed 's/.* //' | sort >"$work/given"
sed -n 's/^ *\(fg_[a-z0-9_]*\);$/\1/p' "$2" | sort >"$work/list"
declared include/flourgold/*.h >"$work/declared"
[ "$(wc -l <"$work/declared")" -ge 40 ]
verdict $? 'declarations are found in include/flourgold'
compare 'names of the shared library, names of the list' "$work/given" "$work/list"
compare 'names of the list, functions declared in include/flourgold' "$work/list" "$work/declared"

# A comment stands above each declaration, or above the group it belongs to.
for header in include/flourgold/*.h; do
  awk -v RS= '/(^|\n)[a-z][^\n]*fg_[a-z0-9_]+\(/ && !/^(\/\*|typedef|#)/ { print FILENAME ": " $0 }' "$header"
done >"$work/said"
[ ! -s "$work/said" ]
verdict $? 'every public function has its contract'

# The static library hides nothing, so its names at least say whose they are.
nm -g --defined-only "$3" | sed -n 's/^[0-9a-f]* [A-Z] //p' | grep -Ev '^([.]gomp_critical_user_)?fg_' >"$work/said"
[ ! -s "$work/said" ]
verdict $? 'every name in the static library begins with fg_'

# Tables would tie a user's program to their length of today.
grep -n '^ *extern [^"]' include/flourgold/*.h >"$work/said"
[ ! -s "$work/said" ]
verdict $? 'no table is public'

# "HEADER PREFIX" for each function, the prefix fg_WORD_.
for header in include/flourgold/*.h; do
  [ "$header" = include/flourgold/flourgold.h ] && continue
  declared "$header" | sed "s|^\(fg_[a-z0-9]*_\).*|$(basename "$header") \1|"
done | sort -u >"$work/prefixes"
for field in 1 2; do
  cut -d ' ' -f $field "$work/prefixes" | sort | uniq -d >"$work/said"
  [ ! -s "$work/said" ]
  verdict $? "one beginning for each header (field $field: header, beginning)"
done

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
