# What the tables above make of a command line.

# Leaves in `words` what stands before the cursor, the program's name apart, with what readline
# parted at "=" put together again.
_flourgold_join() {
  local i word glued=
  words=()
  for ((i = 1; i <= COMP_CWORD; ++i)); do
    word=${COMP_WORDS[i]}
    if [[ ${#words[@]} -gt 0 && ($word == =* || $glued) ]]; then
      words[${#words[@]} - 1]+=$word
    else
      words+=("$word")
    fi
    [[ $word == = ]] && glued=yes || glued=
  done
}

# Reads all words but the last into `command`, `plain` and `option`, an option that waits for its value.
_flourgold_read() {
  local word
  for word in "${words[@]:0:${#words[@]} - 1}"; do
    if [[ $option ]]; then
      option=
    elif [[ $word == -?* ]]; then
      [[ $word == --*=* || -z $(_flourgold_value "$command" "$word") ]] || option=$word
    elif [[ $command ]]; then
      plain+=("$word")
    else
      command=$word
    fi
  done
}

# Offers what fits `typed`, which `before` stands before: _flourgold_offer KIND [WORD...]
_flourgold_offer() {
  local kind=$1 list=() fit
  shift
  case $kind in
  one) list=("$@") ;;
  inputs) read -ra list <<<"$(_flourgold_inputs "${plain[0]}")" ;;
  setting)
    if [[ $typed == *=* ]]; then
      before+=${typed%%=*}=
      read -ra list <<<"$(_flourgold_setting "${typed%%=*}")"
      typed=${typed#*=}
    else
      read -ra list <<<"$(_flourgold_setting)"
    fi
    ;;
  file)
    compopt -o filenames 2>/dev/null
    mapfile -t COMPREPLY < <(compgen -f -- "$typed")
    ;;
  esac
  if [[ ${#list[@]} -gt 0 ]]; then
    mapfile -t COMPREPLY < <(compgen -W "${list[*]}" -- "$typed")
    for fit in "${COMPREPLY[@]}"; do
      [[ $fit == *= ]] && compopt -o nospace 2>/dev/null
    done
  fi
  # Readline replaces what stands behind the last "=", where that parts words.
  if [[ $before && $COMP_WORDBREAKS != *=* ]]; then
    COMPREPLY=("${COMPREPLY[@]/#/$before}")
  fi
}

_flourgold() {
  local words command='' option='' plain=() before='' typed answer
  COMPREPLY=()
  _flourgold_join
  _flourgold_read
  typed=${words[${#words[@]} - 1]}
  if [[ -z $option && $typed == --*=* ]]; then
    option=${typed%%=*}
    before=$option=
    typed=${typed#*=}
  fi
  if [[ $option ]]; then
    read -ra answer <<<"$(_flourgold_value "$command" "$option")"
  elif [[ $typed == -* ]]; then
    read -ra answer <<<"one $(_flourgold_options "$command")"
  elif [[ -z $command ]]; then
    read -ra answer <<<"$(_flourgold_place '' 0)"
  else
    read -ra answer <<<"$(_flourgold_place "$command" "${#plain[@]}")"
  fi
  [[ ${#answer[@]} -eq 0 ]] || _flourgold_offer "${answer[@]}"
}

complete -F _flourgold flourgold
