#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Headers can be included alone and all together: those for users of the library in C and in
# C++, and with those of src/ in C.  Two of them that give one name to two things do not compile.
# Usage: headers.sh
set -eu

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0
failed=0

# check WHAT COMPILER OPTION...: all the headers named in $work/all, as the compiler's input.
check() {
  what=$1
  shift
  if "$@" -Wall -Wextra -Werror -fsyntax-only -Iinclude "$work/all" >"$work/said" 2>&1; then
    passed=$((passed + 1))
  else
    echo "FAILED: $what"
    cat "$work/said"
    failed=$((failed + 1))
  fi
}

# include DIRECTORY FILE...: one line a header, named below the directory.
include() {
  directory=$1
  shift
  for file in "$@"; do
    echo "#include \"${file#"$directory"/}\""
  done
}

c="${CC:-cc} -x c -std=c17"
cxx="${CXX:-c++} -x c++ -std=c++17"
for file in include/flourgold/*.h; do
  include include "$file" >"$work/all"
  # shellcheck disable=SC2086 # commands with their options
  check "$file alone in C" $c
done
include include include/flourgold/*.h >"$work/all"
# shellcheck disable=SC2086
check 'all public headers in C' $c
# shellcheck disable=SC2086
check 'all public headers in C++' $cxx
include src src/*/*.h >>"$work/all"
# shellcheck disable=SC2086
check 'all headers in C' $c -D_GNU_SOURCE -Isrc
grep -L 'extern "C"' include/flourgold/*.h | grep -v '/version\.h$' >"$work/bare" || true
if [ -s "$work/bare" ]; then
  echo 'FAILED: public headers without extern "C":'
  cat "$work/bare"
  failed=$((failed + 1))
else
  passed=$((passed + 1))
fi

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
