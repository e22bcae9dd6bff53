# A setting and its value: group.key=value.
_flourgold_setting() {
  local key=${PREFIX%%\=*}
  if compset -P 1 '*='; then
    compadd -- ${=_flourgold_settings[$key]}
  else
    compadd -S = -- ${(ko)_flourgold_settings}
  fi
}

# An input of the formula that was named: name=value.
_flourgold_input() {
  compset -P 1 '*=' || compadd -S = -- ${=_flourgold_inputs[${line[1]}]}
}

_flourgold() {
  local curcontext=$curcontext state
  local -a line
  _arguments -C '(- *)--version[print the version and the licence]' \
    '(- *)'{-h,--help}'[list the commands]' '1:command:_flourgold_commands' '*::argument:->rest'
  [[ $state != rest ]] || ! (($+functions[_flourgold_$words[1]])) || _flourgold_$words[1]
}

_flourgold "$@"
