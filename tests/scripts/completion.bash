#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# What bash offers for half a command line, asked as readline asks: the words in COMP_WORDS, parted
# at "=" as readline parts them.  Commands and options are those that the program's help lists.
# Usage: completion.bash PROGRAM FOLDER     FOLDER: where the completion lies
set -u

program=$1
# shellcheck disable=SC1091
source "$2/flourgold" || exit 1
work=$(mktemp -d)
said=$(mktemp)
trap 'rm -rf "$work" "$said"' EXIT
passed=0
failed=0

# offers EXPECTED WORD...: the last word is the one under the cursor; any order.
offers() {
  local expected=$1 found
  shift
  COMP_WORDS=("$@")
  COMP_CWORD=$(($# - 1))
  COMPREPLY=(left over)
  _flourgold 2>"$said"
  found=$(printf '%s\n' "${COMPREPLY[@]}" | sort)
  if [[ $found == "$(tr ' ' '\n' <<<"$expected" | sort)" && ! -s $said ]]; then
    passed=$((passed + 1))
  else
    echo "FAILED: $*: expected '$expected', offered '${found//$'\n'/ }'"
    cat "$said"
    failed=$((failed + 1))
  fi
}

names=$("$program" help | sed -n 's/^\([a-z][a-z]*\) \.\.*.*/\1/p' | tr '\n' ' ')
offers "${names% }" flourgold ''
for name in $names; do
  options=$("$program" help "$name" | sed -e '1,/^Options$/d' -e '/^-[-a-z]/!d' -e 's/ \.\..*//' |
    grep -oE '(^|, )--?[a-z-]+' | tr -s ', \n' ' ')
  offers "${options% }" flourgold "$name" -
done

offers 'cleanup card check calc' flourgold c
offers loss flourgold --units si lo
offers '' flourgold nonsense ''
offers '--samples --seed --set' flourgold loss --s
offers '--set --units --format --full --quiet -o --output -h --help --version' flourgold -

# Choices of an option, as "--units si" and "--units=si".
offers 'us si' flourgold loss --units ''
offers si flourgold loss --units s
offers 'us si' flourgold loss --units =
offers si flourgold loss --units = s
offers 'gold-per-hour least-loss' flourgold tune demo.cfg --aim ''
offers 'text json csv' flourgold dry --format ''
offers '' flourgold loss --seed ''

# Settings and their choices.
offers 'run.hours= run.cleaning_interval= run.cleaning_time= run.feed= run.gate_opening= run.throttle=' \
  flourgold loss --set run.
offers 'smooth ribbed' flourgold loss --set hose.kind = ''
offers 'ribbed' flourgold loss --set = hose.kind = r
offers 'gate.area gate.leak_area' flourgold keys gate.

# Plain words, and no more of them than the command takes.
offers map flourgold plot ma
offers settle flourgold calc settl
offers 'elevation= temperature= humidity= pressure=' flourgold calc air ''
offers 'temperature=' flourgold calc air elevation = 3000 t
offers verdict flourgold help ver
offers '' flourgold help verdict ''

# Where "=" parts no words the whole word is replaced.
COMP_WORDBREAKS=' '
offers '--units=si' flourgold loss --units=s
offers 'hose.kind=smooth' flourgold loss --set hose.kind=s
offers '--set=hose.kind=smooth' flourgold loss --set=hose.kind=s

# Files: of the scenario, of options that read or write one, blanks in their names included.
cd "$work" && touch mine.cfg mineral.csv other.cfg 'my wash.cfg'
offers 'mine.cfg mineral.csv' flourgold loss mine
offers 'mine.cfg mineral.csv' flourgold plot loss mine
offers 'mine.cfg mineral.csv' flourgold day other.cfg mine.cfg mine
offers 'other.cfg' flourgold dry mine.cfg --weather o
offers 'other.cfg' flourgold loss mine.cfg -o o
offers 'mine.cfg mineral.csv' flourgold streaks mine
offers '' flourgold cleanup mine.cfg o
offers 'other.cfg' flourgold loss mine.cfg o
offers '' flourgold calc air o
COMP_WORDS=(flourgold loss my) COMP_CWORD=2
_flourgold
if [[ ${#COMPREPLY[@]} -eq 1 && ${COMPREPLY[0]} == 'my wash.cfg' ]]; then
  passed=$((passed + 1))
else
  echo "FAILED: a name with a blank: ${COMPREPLY[*]}"
  failed=$((failed + 1))
fi

echo "$passed passed, $failed failed"
[[ $failed -eq 0 ]]
