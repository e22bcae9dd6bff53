#!/usr/bin/env zsh
# SPDX-License-Identifier: GPL-3.0-or-later
# Half a command line, Tab and Enter are typed into a zsh and a bash, where a function of the
# program's name prints the words it got.
# Usage: completion.zsh FOLDER     FOLDER: where the completion lies
zmodload zsh/zpty || exit 1
folder=$1:A
integer passed=0 failed=0

zsh -n $folder/_flourgold || exit 1

# completes TYPED EXPECTED
completes() {
  local output
  zpty -w $shell $1$'\t'
  zpty -r -m $shell output '*<*>*'
  output=${${output##*<}%%>*}
  if [[ flourgold\ $output == $2 ]]; then
    ((++passed))
  else
    print -r -- "FAILED: $shell: '$1' became '$output', expected '$2'"
    ((++failed))
  fi
}

zpty zsh zsh -f -i
zpty -w zsh "PROMPT= fpath=($folder \$fpath); autoload -Uz compinit && compinit -u -D"
zpty bash bash --norc --noprofile -i
zpty -w bash "PS1=; bind 'set bell-style none'; . $folder/flourgold"

for shell in zsh bash; do
  zpty -w $shell 'flourgold() { echo "<$*>"; }; echo rea''dy'
  zpty -r -m $shell output '*ready*'
  completes 'flourgold verd' 'flourgold verdict'
  completes 'flourgold loss --fre' 'flourgold loss --fresh'
  completes 'flourgold loss --units s' 'flourgold loss --units si'
  completes 'flourgold tune x.cfg --aim=lea' 'flourgold tune x.cfg --aim=least-loss'
  completes 'flourgold plot dryi' 'flourgold plot drying'
  completes 'flourgold plot drying configs/wash_c' 'flourgold plot drying configs/wash_clayey.cfg'
  completes 'flourgold dry x.cfg --weather configs/weather-d' \
    'flourgold dry x.cfg --weather configs/weather-demo.csv'
  completes 'flourgold loss --set hose.kin' 'flourgold loss --set hose.kind='
  completes 'flourgold loss --set hose.kind=sm' 'flourgold loss --set hose.kind=smooth'
  completes 'flourgold calc sett' 'flourgold calc settle'
  completes 'flourgold calc air elev' 'flourgold calc air elevation='
  completes 'flourgold keys deck.riffle_' 'flourgold keys deck.riffle_height'
  completes 'flourgold help strea' 'flourgold help streaks'
  zpty -d $shell
done

print "$passed passed, $failed failed"
((failed == 0))
