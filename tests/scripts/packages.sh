#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What is missing is named and not installed when INSTALL=no, and sudo is named before it is used.
# A machine without the libraries is made up: a folder with the few programs .ci/install itself uses,
# and a pkg-config, an apt-get, a sudo that note what they were asked.
# Usage: packages.sh
set -u

# shellcheck source=tests/scripts/counting.sh
. "${0%/*}/counting.sh"

make_tool() {
  printf '#!/bin/sh\n%s\n' "$2" >"$work/bin/$1"
  chmod +x "$work/bin/$1"
}

mkdir "$work/bin"
for tool in sh env; do
  ln -s "$(command -v $tool)" "$work/bin/$tool"
done
make_tool make 'exit 0'
make_tool cc 'exit 0'
make_tool pkg-config 'exit 1'
make_tool id 'echo 1000'
make_tool apt-get "echo \"apt-get \$*\" >>'$work/asked'; exit 1"
make_tool sudo "echo \"sudo \$*\" >>'$work/asked'; echo 'sudo was called'; \"\$@\""

try() {
  : >"$work/asked"
  status=0
  env -i PATH="$work/bin" CC=cc INSTALL="$1" "$work/bin/sh" .ci/install build >"$work/said" 2>&1 || status=$?
}

holds() { grep -q -- "$1" "$work/said"; }

try no
[ "$status" -ne 0 ] && [ ! -s "$work/asked" ]
verdict $? 'INSTALL=no installs nothing'
holds 'try again:.* libgsl-dev libconfig-dev libudunits2-dev libjansson-dev libexpat1-dev'
verdict $? 'INSTALL=no names the packages'
holds '"make demo" installs'
verdict $? 'and what would install them'

try yes
[ "$status" -ne 0 ] && [ -s "$work/asked" ]
verdict $? 'otherwise they are asked for'
named=$(grep -n 'sudo is asked' "$work/said" | cut -d: -f1)
called=$(grep -n 'sudo was called' "$work/said" | cut -d: -f1 | head -n 1)
[ -n "$named" ] && [ -n "$called" ] && [ "$named" -lt "$called" ]
verdict $? 'sudo is named before it is called'

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
