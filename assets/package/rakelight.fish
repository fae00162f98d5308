# Completion for fish: commands and options are what `rakelight --help` says.
function __rakelight_commands
    rakelight --help 2>/dev/null | sed -n '/^Subcommands:/,$ s/^  \([a-z][a-z]*\)  *\(.*\)/\1\t\2/p'
end
function __rakelight_options
    set -l words (commandline -opc)
    test (count $words) -ge 2; and rakelight $words[2] --help 2>/dev/null | grep -o -e '--[a-z-]*' | sort -u
end
complete -c rakelight -n 'test (count (commandline -opc)) -eq 1' -a '(__rakelight_commands)'
complete -c rakelight -n 'string match -q -- "-*" (commandline -ct)' -a '(__rakelight_options)'
