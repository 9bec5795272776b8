# Completion of poise for fish. What can come next is asked of the program itself.
function __poise_complete
    set -l words (commandline -opc)
    set -l word (commandline -ct)
    for line in ($words[1] complete $words[2..-1] "$word" 2>/dev/null)
        if string match -q ':files*' -- $line
            set -l endings (string split -n ' ' -- (string replace ':files' '' -- $line))
            if test (count $endings) -eq 0
                __fish_complete_path "$word"
            end
            for ending in $endings
                __fish_complete_suffix "$word" ".$ending"
            end
        else
            printf '%s\n' $line
        end
    end
end
complete -c poise -f -a '(__poise_complete)'
