#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# README.md is short, names every command and every topic of the help, and its lines work: each is
# run, in their order, in a folder of its own.
# Usage: readme.sh PROGRAM
set -u

program=$(realpath "$1")
# shellcheck source=tests/scripts/counting.sh
. "${0%/*}/counting.sh"

for name in $("$program" help | sed -n 's/^\([a-z][a-z]*\) \.\..*/\1/p'); do
  [ "$name" = help ] || check "README.md names the command $name" grep -qE "(\`|flourgold )$name\b" README.md
  "$program" help "$name" >"$work/said"
  check "help $name" test -s "$work/said"
done
for name in $("$program" help | sed -n "s/^- 'flourgold help \([a-z]*\)'.*/\1/p"); do
  sed -n '/help TOPIC/,/^$/p' README.md >"$work/said"
  check "README.md names the topic $name" grep -qw "$name" "$work/said"
done
check 'README.md is short' test "$(wc -l <README.md)" -lt 160

mkdir "$work/run" "$work/run/build"
ln -s "$program" "$work/run/build/flourgold"
for folder in configs plots; do ln -s "$PWD/$folder" "$work/run/$folder"; done
sed -n '/^```sh$/,/^```$/{/^build/p;}' README.md >"$work/lines"
check 'README.md has lines to run' test "$(wc -l <"$work/lines")" -ge 14
# Enter answers every question of `start`.
yes '' | head -n 40 >"$work/enter"
while IFS= read -r line; do
  (cd "$work/run" && FLOURGOLD_DATA=$work/run OMP_WAIT_POLICY=passive sh -c "$line" <"$work/enter" >"$work/said" 2>&1)
  verdict $? "$line"
done <"$work/lines"
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
