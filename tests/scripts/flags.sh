#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The same results, to 1e-9, whatever the compiler's optimization.
# Usage: flags.sh PROGRAM BUILD      BUILD: where the plain (-O0) build goes
set -eu

program=$1
build=$2
plain=$build/flourgold
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# The make that runs the tests is none of this one's business.
env -u MAKEFLAGS -u MAKELEVEL -u MFLAGS make BUILD="$build" OPT=-O0 all >"$work/make" 2>&1 || {
  cat "$work/make"
  exit 1
}

# Numbers one to a line, words left out; a name beside each would not help to find a place
# better than its order does.
numbers() {
  grep -v '"version"' | tr -c '0-9eE.+\n-' '\n' | grep '[0-9]' || true
}

passed=0
failed=0
compare() {
  status=0
  "$program" "$@" --format json >"$work/fast.json" || status=$?
  other=0
  "$plain" "$@" --format json >"$work/plain.json" || other=$?
  numbers <"$work/fast.json" >"$work/fast"
  numbers <"$work/plain.json" >"$work/plain"
  if [ "$status" -eq "$other" ] && paste "$work/fast" "$work/plain" | awk '
      function size(x) { return x < 0 ? -x : x }
      NF != 2 || size($1 - $2) > 1e-9 * (size($1) + size($2)) / 2 + 1e-12 {
        print "number " NR ": " $1 " against " $2; bad = 1 }
      END { exit bad || NR < 20 }'; then
    passed=$((passed + 1))
  else
    echo "FAILED: $* (exit $status and $other)"
    failed=$((failed + 1))
  fi
}

compare loss configs/demo.cfg
compare loss configs/demo.cfg --fresh
compare loss tests/commands/trial.cfg
compare loss tests/commands/trial.cfg --set 'run.throttle=100 %'
compare loss tests/commands/trial.cfg --set 'run.throttle=40 %'
compare loss tests/commands/trial.cfg --set 'ground.moisture=3 %'
compare loss tests/commands/trial.cfg --set closure.drag_law=ganser
compare loss tests/commands/trial.cfg --set closure.sieving_law=trewhela
compare loss tests/commands/trial.cfg --set gold.counted_in=tray
compare loss tests/commands/trial.cfg --set 'deck.slope=1 deg'
compare settle configs/demo.cfg --laws
compare check configs/demo.cfg --effective

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
