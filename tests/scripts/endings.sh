#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# How the program ends when its reader, the machine or the user ends it, and where it looks for
# its data files.
# Usage: endings.sh PROGRAM
set -u

case $1 in
/*) program=$1 ;;
*) program=$PWD/$1 ;;
esac
demo=$PWD/configs/demo.cfg
# shellcheck source=tests/scripts/counting.sh
. "${0%/*}/counting.sh"

# Whether a process is no more, or only waits to be noticed by its parent.
gone() {
  [ ! -e "/proc/$1" ] || grep -q '^State:[[:space:]]*[ZX]' "/proc/$1/status"
}

# A reader that has gone: no word, and the signal's status as the shell tells it.
{ sleep 0.3; "$program" keys 2>"$work/pipe.err"; echo $? >"$work/pipe.status"; } | true
check 'a closed pipe is no trouble worth a word' test ! -s "$work/pipe.err"
check 'a closed pipe ends with SIGPIPE' test "$(cat "$work/pipe.status")" -eq 141

# No room for threads: 64 of them want half a gigabyte of stacks.
status=0
(ulimit -v 400000; OMP_NUM_THREADS=64 "$program" loss "$demo") >"$work/out" 2>"$work/err" || status=$?
check 'no threads is not "the model has no answer"' test "$status" -eq 3
check 'no threads is said' grep -q 'OMP_NUM_THREADS=1' "$work/err"
check 'no threads, no result' test ! -s "$work/out"

# Ended while gnuplot runs: gnuplot goes too, and no temporary file stays.
mkdir "$work/bin" "$work/pictures"
cat >"$work/bin/gnuplot" <<'END'
#!/bin/sh
echo $$ >"$GNUPLOT_TRIAL"
exec sleep 60
END
sed -i "s,\$GNUPLOT_TRIAL,$work/child," "$work/bin/gnuplot"
chmod +x "$work/bin/gnuplot"
for name in TERM QUIT XCPU; do
  rm -f "$work/child"
  PATH="$work/bin:$PATH" "$program" plot loss "$demo" -o "$work/pictures/a.svg" 2>/dev/null &
  ours=$!
  tries=0
  while [ ! -s "$work/child" ] && [ "$tries" -lt 200 ]; do
    sleep 0.05
    tries=$((tries + 1))
  done
  kill -s "$name" "$ours"
  wait "$ours" 2>/dev/null
  sleep 0.2
  check "gnuplot ends with us on SIG$name" gone "$(cat "$work/child")"
  check "nothing half-written stays on SIG$name" test "$(find "$work/pictures" -name '*.tmp' | wc -l)" -eq 0
done

# Data files are taken from above the program only in this project's own build folder, and from
# no place that everybody may write to.
mkdir -p "$work/tree/build" "$work/tree/configs"
cp "$program" "$work/tree/build/flourgold"
cp configs/blowers.cfg "$work/tree/configs"
cp "$demo" "$work/s.cfg"
chmod 755 "$work/tree" "$work/tree/build"
finds() {
  env -u FLOURGOLD_DATA -u FLOURGOLD_CATALOGUE "$work/tree/build/flourgold" check "$work/s.cfg" >"$work/out" 2>&1
}
check 'no data beside a program that lies anywhere' sh -c "! env -u FLOURGOLD_DATA '$work/tree/build/flourgold' check '$work/s.cfg' >/dev/null 2>&1"
: >"$work/tree/build/.flourgold-build"
check 'data above a build folder' finds
chmod o+w "$work/tree"
check 'no data where everybody may write' sh -c "! env -u FLOURGOLD_DATA '$work/tree/build/flourgold' check '$work/s.cfg' >/dev/null 2>&1"

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
