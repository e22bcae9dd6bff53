#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# README.md names every command, and the program has help for each.
# Usage: readme.sh PROGRAM
set -u

passed=0
failed=0
for name in $("$1" help | sed -n 's/^\([a-z][a-z]*\) \.\.*.*/\1/p'); do
  [ "$name" != help ] || continue
  if grep -qE "(\`|flourgold )$name\b" README.md && "$1" help "$name" >/dev/null; then
    passed=$((passed + 1))
  else
    echo "FAILED: README.md does not name the command '$name'"
    failed=$((failed + 1))
  fi
done
# Fewer would mean that the list above was not read.
[ "$passed" -ge 15 ] || failed=$((failed + 1))
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
