#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What make install puts below a folder is enough to build and run a program, in C and in C++,
# with the shared and with the static library; make uninstall takes all of it away and nothing else.
# Usage: install.sh       (CC, CXX, MAKE; options of make by MAKEFLAGS)
set -u

# shellcheck source=tests/scripts/counting.sh
. "${0%/*}/counting.sh"
root=$work
tree=$root/tree
prefix=$tree/usr/local

unset DESTDIR
make_it() { ${MAKE:-make} PREFIX=/usr/local DESTDIR="$tree" "$@" >"$root/said" 2>&1; }
everything() { find "$tree" ! -type d | sort; }

make_it install
verdict $? 'make install'
everything >"$root/installed"
mkdir -p "$prefix/share/flourgold" && echo 'not ours' >"$prefix/share/flourgold/own.cfg"

# Documents, where man, bash and zsh look for them.
share=$prefix/share
for file in man/man1/flourgold.1 man/man5/flourgold-scenario.5 man/man7/flourgold-topics.7 doc/flourgold/COPYING \
  doc/flourgold/README.md bash-completion/completions/flourgold zsh/site-functions/_flourgold \
  $("$prefix/bin/flourgold" help | sed -n 's,^\([a-z][a-z]*\) \.\.*.*,man/man1/flourgold-\1.1,p'); do
  [ -s "$share/$file" ]
  verdict $? "share/$file is installed"
done

export PKG_CONFIG_SYSROOT_DIR="$tree" PKG_CONFIG_PATH="$prefix/lib/pkgconfig"
pkg-config --print-errors --exists flourgold >"$root/said" 2>&1
verdict $? 'pkg-config finds the library'
[ "FG_VERSION \"$(pkg-config --modversion flourgold)\"" = \
  "$(sed -n 's/^#define \(FG_VERSION .*\)/\1/p' "$prefix/include/flourgold/version.h")" ]
verdict $? 'its version is that of the headers'

# needs PROGRAM: the shared libraries it asks for.
needs() { readelf -d "$1" | sed -n 's/.*(NEEDED).*\[\(.*\)\]/\1/p'; }

# build NAME "COMPILER..." "LIBRARIES": in a folder of its own, so that nothing of this tree is seen.
build() {
  cp tests/install/example.c "$root/example.c"
  # shellcheck disable=SC2046,SC2086 # commands and options in several words
  (cd "$root" && $2 -Wall -Wextra -Wpedantic -Werror $(pkg-config --cflags flourgold) \
    -o "$1" example.c -x none $3) >"$root/said" 2>&1
  verdict $? "the example is built: $1"
}

# run NAME: what it prints goes to NAME.out.
run() {
  (cd "$root" && LD_LIBRARY_PATH="$prefix/lib" "./$1" "$prefix/share/flourgold/configs/demo.cfg") \
    >"$root/$1.out" 2>"$root/said"
  verdict $? "the example runs: $1"
}

c="${CC:-cc} -std=c17"
cxx="${CXX:-c++} -x c++ -std=c++17"
shared=$(pkg-config --libs flourgold)
static=$(pkg-config --static --libs flourgold | sed 's/-lflourgold/-l:libflourgold.a/')
build c-shared "$c" "$shared"
build c-static "$c" "$static"
build cxx-shared "$cxx" "$shared"
build cxx-static "$cxx" "$static"
for name in c-shared c-static cxx-shared cxx-static; do
  run "$name"
  needs "$root/$name" >"$root/said"
  case $name in
  *-shared) grep -qx 'libflourgold\.so\.0' "$root/said" ;;
  *) ! grep -q flourgold "$root/said" ;;
  esac
  verdict $? "$name needs the library it was built with"
  diff "$root/c-shared.out" "$root/$name.out" >"$root/said"
  verdict $? "$name prints the same"
done

# The installed program on the installed scenario: the same deck, the same gold.
"$prefix/bin/flourgold" loss "$prefix/share/flourgold/configs/demo.cfg" --exact --format csv \
  >"$root/program.csv" 2>"$root/said"
verdict $? 'the installed program runs'
awk -F, 'NR == 1 { while ($(++kept) != "kept"); next } { printf "%.1f\n", 100 * $kept }' \
  "$root/program.csv" >"$root/program.kept"
sed -n 's/.*mm[^:]*: \([0-9.]*\) % kept$/\1/p' "$root/c-shared.out" >"$root/example.kept"
diff "$root/program.kept" "$root/example.kept" >"$root/said"
verdict $? 'program and library agree on what is kept'
[ "$(wc -l <"$root/example.kept")" -ge 10 ]
verdict $? 'the example prints a line for each size class'

sed -n "/^### In a program of yours/,/^[*][*]A public/p" DEVELOPERS.md | sed -n '/^```c$/,/^```$/p' | sed '/^```/d' >"$root/said"
case $(cat tests/install/example.c) in
*"$(cat "$root/said")"*) [ "$(wc -l <"$root/said")" -ge 8 ] ;;
*) false ;;
esac
verdict $? 'DEVELOPERS.md shows a part of the example as it is'

"$root/c-static" "$root/no-such.cfg" >"$root/example.out" 2>"$root/said"
[ $? -eq 1 ] && grep -q 'no-such\.cfg' "$root/said"
verdict $? 'a scenario that is not there is named'

make_it uninstall
verdict $? 'make uninstall'
everything >"$root/said"
[ "$(cat "$root/said")" = "$prefix/share/flourgold/own.cfg" ]
verdict $? "only another's file is left"
rm -r "$prefix/share/flourgold"
find "$tree" -name '*flourgold*' >"$root/said"
[ ! -s "$root/said" ]
verdict $? 'no folder of ours is left'
[ "$(wc -l <"$root/installed")" -ge 40 ]
verdict $? 'there was something to take away'

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
