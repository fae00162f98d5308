# Completion for bash: commands, options and the words that an option takes are what `rakelight --help` says, so they are never
# out of date.
_rakelight() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command="" i
  for ((i = 1; i < COMP_CWORD; ++i)); do
    case ${COMP_WORDS[i]} in -*) ;; *) command=${COMP_WORDS[i]}; break ;; esac
  done
  local help
  if [ -z "$command" ]; then
    help=$(rakelight --help 2>/dev/null)
    local commands
    commands=$(printf '%s\n' "$help" | sed -n '/^Subcommands:/,$ s/^  \([a-z][a-z]*\) .*/\1/p')
    COMPREPLY=($(compgen -W "$commands $(printf '%s\n' "$help" | grep -o -e '--[a-z-]*')" -- "$word") $(compgen -f -- "$word"))
    return
  fi
  help=$(rakelight "$command" --help 2>/dev/null)
  local choices
  choices=$(printf '%s\n' "$help" | sed -n "s/^ *\(-[a-z],\)\{0,1\}${before} .*{\([^}]*\)}.*/\2/p" | tr ',' ' ')
  if [ -n "$choices" ] && [ "${before#-}" != "$before" ]; then
    COMPREPLY=($(compgen -W "$choices" -- "$word"))
  elif [ "${word#-}" != "$word" ]; then
    COMPREPLY=($(compgen -W "$(printf '%s\n' "$help" | grep -o -e '--[a-z-]*' | sort -u)" -- "$word"))
  else
    COMPREPLY=($(compgen -f -- "$word"))
  fi
}
complete -o filenames -F _rakelight rakelight
