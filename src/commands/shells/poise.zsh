#compdef poise
# Completion of poise for zsh. What can come next is asked of the program itself.
local line candidate about files=0
local -a endings candidates described open open_described
while IFS= read -r line; do
    if [[ $line == :files* ]]; then
        files=1
        endings=(${=line#:files})
        continue
    fi
    candidate=${line%%$'\t'*}
    about=${line#*$'\t'}
    [[ -n $about ]] && about="$candidate -- $about" || about=$candidate
    if [[ $candidate == *[/=] ]]; then
        open+=("$candidate")
        open_described+=("$about")
    else
        candidates+=("$candidate")
        described+=("$about")
    fi
done < <(${(Q)words[1]} complete "${(@Q)words[2,CURRENT]}" 2>/dev/null)
((${#candidates})) && compadd -l -d described -- "${candidates[@]}"
((${#open})) && compadd -l -S '' -d open_described -- "${open[@]}"
if ((files)); then
    ((${#endings})) && _files -g "*.(${(j:|:)endings})(-.)" || _files
fi
