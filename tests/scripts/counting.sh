# SPDX-License-Identifier: GPL-3.0-or-later
# Read by the test scripts beside it: a folder to work in, which goes at the end, and counts of what
# passed and failed.
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0
failed=0

# verdict STATUS WHAT: what was said ($work/said) is shown when it fails.
verdict() {
  if [ "$1" -eq 0 ]; then
    passed=$((passed + 1))
  else
    echo "FAILED: $2"
    [ ! -e "$work/said" ] || cat "$work/said"
    failed=$((failed + 1))
  fi
}

# check WHAT CONDITION...
check() {
  what=$1
  shift
  "$@"
  verdict $? "$what"
}
