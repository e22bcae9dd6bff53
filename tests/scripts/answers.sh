#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Each report opens with its answer: at most five lines of 72 columns, for every scenario that comes
# along; and the report of `loss` stands on one screen of 40 lines.
# Usage: answers.sh PROGRAM
set -u

program=$1
# shellcheck source=tests/scripts/counting.sh
. "${0%/*}/counting.sh"

# Lines before the first empty one.
opening() { sed '/^$/,$d' "$work/said" | wc -l; }

# answer LINES COMMAND...: exit status 0 or 1 (no answer of the model), and the opening.
answer() {
  most=$1
  shift
  "$program" "$@" >"$work/said" 2>/dev/null
  check "$*: ends well" test $? -le 1
  check "$*: opens with one to five lines" test "$(opening)" -ge 1 -a "$(opening)" -le 5
  check "$*: at most $most lines" test "$(wc -l <"$work/said")" -le "$most"
  check "$*: ends with where to find the rest" grep -q -e '--full$' "$work/said"
}

for file in configs/bench_high.cfg configs/demo.cfg configs/household_*.cfg configs/pile-demo.cfg \
  configs/streak_black.cfg configs/wash_clayey.cfg; do
  answer 40 loss "$file" --samples 64
  answer 40 settle "$file"
  answer 40 cleanup "$file" --samples 16
  answer 40 sample "$file"
done
for file in configs/demo.cfg configs/household_small.cfg configs/streak_black.cfg; do
  answer 40 day "$file" --samples 16
  answer 40 verdict "$file" --buckets 100 --found '100 mg' --samples 256
  answer 40 verdict "$file" --buckets 100 --found '2 g' --samples 256
done
check 'a good day needs no more words' test "$(grep -c 'suspect' "$work/said")" -eq 0
answer 40 day configs/demo.cfg configs/pile-demo.cfg --samples 16
answer 40 dry configs/dry-demo.cfg --weather configs/weather-demo.csv --means configs/means-demo.csv
answer 40 streaks configs/wash.csv
answer 40 tune configs/demo.cfg --samples 16
answer 40 blowers configs/demo.cfg --samples 8
answer 40 doubts configs/demo.cfg --samples 256
answer 40 sample configs/demo.cfg --counts configs/counts-demo.csv

# Fewer would mean that scenarios are gone.
[ "$passed" -ge 175 ] || failed=$((failed + 1))
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
