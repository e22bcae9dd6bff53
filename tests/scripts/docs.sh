#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The manual pages say what the program's help and tables say, and are sound roff.
# Usage: docs.sh PROGRAM MAKEDOCS
set -u

program=$1
makedocs=$2
# shellcheck source=tests/scripts/counting.sh
. "${0%/*}/counting.sh"
pages=$work/pages
mkdir "$pages" "$work/again" "$work/dated"

one_line() { tr -s ' \n' '  '; }

# The text of a page on one line, without overstriking.
backspace=$(printf "\b")
plain() { mandoc -T utf8 -O width=1000 "$1" | sed "s/.$backspace//g" | one_line; }

# holds TEXT PAGE: whether the page of which $work/PAGE.plain is the text holds it.
holds() { grep -qF -- "$1" "$work/$2.plain"; }

# lines_hold FILE PAGE: whether it holds every line; the first that it lacks is printed.
lines_hold() {
  [ -s "$1" ] || return 1
  while IFS= read -r line; do
    holds "$line" "$2" || {
      echo "$2 lacks: $line"
      return 1
    }
  done <"$1"
}

check 'pages are made' env -u SOURCE_DATE_EPOCH "$makedocs" man "$pages"
check 'and made again' env -u SOURCE_DATE_EPOCH "$makedocs" man "$work/again"
check 'both are the same' diff -r "$pages" "$work/again"

# 1 January 1970 and a day, as SOURCE_DATE_EPOCH is defined.
check 'with a date from the environment' env SOURCE_DATE_EPOCH=86400 "$makedocs" man "$work/dated"
check 'which they bear' grep -q '^\.TH .* "1970-01-02" ' "$work/dated/flourgold.1"
SOURCE_DATE_EPOCH=today "$makedocs" man "$work/dated" 2>"$work/said"
check 'a date that is none ends it' test $? -eq 2
check 'and is named' grep -q "SOURCE_DATE_EPOCH is 'today'" "$work/said"

for page in "$pages"/*; do
  mandoc -T lint -W warning "$page" >"$work/said" 2>&1
  check "$page is sound: $(head -n 3 "$work/said")" test ! -s "$work/said"
  plain "$page" >"$work/$(basename "$page").plain"
done

# A page for every command, with its summary, its paragraphs and its options as the help has them.
names=$("$program" help | sed -n 's/^\([a-z][a-z]*\) \.\.*.*/\1/p')
for name in $names; do
  page=flourgold-$name.1
  "$program" help "$name" >"$work/help"
  check "page of $name" test -s "$pages/$page"
  check "flourgold.1 names $name" holds "flourgold-$name(1)" flourgold.1
  sed -n '1,/^$/p' "$work/help" | one_line | sed 's/^flourgold [a-z]*: \(.*\)\. *$/\1/' >"$work/summary"
  echo >>"$work/summary"
  check "$page: summary" lines_hold "$work/summary" "$page"
  sed -e '1,/^Example/d' -e '/^Options$/,$d' "$work/help" |
    awk -v RS= '{ gsub(/[ \n]+/, " "); if ($0 !~ /configs\//) print }' >"$work/details"
  check "$page: description" lines_hold "$work/details" "$page"
  sed -e '1,/^Options$/d' -e '/^-[-a-z]/!d' -e 's/ \.\..*//' "$work/help" >"$work/options"
  check "$page: options" lines_hold "$work/options" "$page"
done
# Every topic of the help, whole.
topics=$("$program" help | sed -n "s/^- 'flourgold help \([a-z]*\)'.*/\1/p")
check 'there are topics' test "$(echo "$topics" | wc -l)" -ge 5
for name in $topics; do
  "$program" help "$name" --format json | sed -n 's/^ *"\(opening\|text\)": "\(.*\)",*$/\2/p' |
    sed -e 's/\\n/\n/g' -e 's/\\"/"/g' | sed -e 's/^- //' >"$work/texts"
  check "flourgold-topics.7: $name" lines_hold "$work/texts" flourgold-topics.7
done
# Every formula with its title and its arguments, which the program tells of those that need some.
for name in $("$program" calc | sed -n 's/^\([a-z][a-z0-9_]*\) \.\.*.*/\1/p'); do
  "$program" calc "$name" --format json >"$work/help" 2>"$work/said" && continue
  sed -n -e 's/^  "title": "\(.*\)",$/\1/p' -e 's/^    "\([a-z0-9_]*\)": "\(.*\)",*$/\1: \2/p' \
    "$work/help" | sed 's/\\"/"/g' >"$work/texts"
  check "flourgold-calc.1: $name" lines_hold "$work/texts" flourgold-calc.1
done

# What a value may be, as the program says when it is not.
allowed() { "$program" "$1" configs/demo.cfg "$2" "$3" 2>&1 | sed 's/.*allowed: //'; }
check 'range of a whole number' holds "from $(allowed loss --samples 7)" flourgold-loss.1
check 'range of a quantity' holds "$(allowed dry --allow '99 %'), with its unit: %" flourgold-dry.1
check 'range of a number' holds "from $(allowed streaks --power 1000)" flourgold-streaks.1
choices=$("$program" tune configs/demo.cfg --aim x 2>&1 | sed -e 's/.*must be //' -e 's/ or /, /')
check 'choices' holds "Allowed: $choices" flourgold-tune.1

# Three pages more: of the program, of scenario files and of the topics.
check 'no page too many' test "$(find "$pages" -type f | wc -l)" -eq "$(($(echo "$names" | wc -l) + 3))"

# Every setting with its meaning, default, choices and how it is written.
"$program" keys --format json >"$work/keys"
for field in key meaning basis default_text written source measure; do
  sed -n "s/^ *\"$field\": \"\(..*\)\",*$/\1/p" "$work/keys" | sed 's/\\"/"/g' | tr -s ' ' >"$work/texts"
  check "flourgold-scenario.5: $field" lines_hold "$work/texts" flourgold-scenario.5
done
check 'every setting was asked for' test "$(grep -c '"key"' "$work/keys")" -ge 130

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
