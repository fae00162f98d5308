#compdef rakelight
# Completion for zsh: commands and options are what `rakelight --help` says.
local -a commands options
if (( CURRENT == 2 )); then
  commands=(${(f)"$(rakelight --help 2>/dev/null | sed -n '/^Subcommands:/,$ s/^  \([a-z][a-z]*\)  *\(.*\)/\1:\2/p')"})
  _describe command commands
  _files
elif [[ $PREFIX == -* ]]; then
  options=(${(f)"$(rakelight $words[2] --help 2>/dev/null | grep -o -e '--[a-z-]*' | sort -u)"})
  compadd -a options
else
  _files
fi
