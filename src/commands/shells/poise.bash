# Completion of poise for bash. What can come next is asked of the program itself.
_poise()
{
    local IFS=$' \t\n' i char rest line=${COMP_LINE:0:COMP_POINT} words=() word='' quote='' begun=
    # Bash breaks words at "=" and ":" too; the program wants them as the shell would pass them.
    for ((i = 0; i < ${#line}; i++)); do
        char=${line:i:1}
        if [[ -n $quote && $char == "$quote" ]]; then
            quote=
        elif [[ -n $quote ]]; then
            word+=$char
        elif [[ $char == [\'\"] ]]; then
            quote=$char begun=1
        elif [[ $char == \\ ]]; then
            ((++i))
            word+=${line:i:1} begun=1
        elif [[ $char == [[:space:]] ]]; then
            [[ -n $begun ]] && words+=("$word")
            word='' begun=
        else
            word+=$char begun=1
        fi
    done
    words+=("$word")
    COMPREPLY=()
    # Bash replaces only what stands behind its last break.
    local done=''
    rest=$word
    [[ -z $quote && $COMP_WORDBREAKS == *=* ]] && rest=${word##*[=:]} && done=${word%"$rest"}
    local candidate
    while IFS=$'\t' read -r candidate _; do
        if [[ $candidate == :files* ]]; then
            _poise_files "$rest" ${candidate#:files}
            continue
        fi
        candidate=${candidate#"$done"}
        [[ -z $quote ]] && printf -v candidate %q "$candidate"
        COMPREPLY+=("$candidate")
    done < <("${COMP_WORDS[0]/#\~\//$HOME/}" complete "${words[@]:1}" 2>/dev/null)
    [[ ${#COMPREPLY[@]} == 1 && ${COMPREPLY[0]} == *[/=] ]] && compopt -o nospace 2>/dev/null
    return 0
}

# File names that begin with $1 and end in one of the other arguments (any, when there is none).
_poise_files()
{
    local typed=$1 name ending keep
    shift
    compopt -o filenames 2>/dev/null
    while IFS= read -r name; do
        keep=
        [[ $# == 0 || -d ${name/#\~\//$HOME/} ]] && keep=1
        for ending; do
            [[ ${name,,} == *."$ending" ]] && keep=1
        done
        [[ -n $keep ]] && COMPREPLY+=("$name")
    done < <(compgen -f -- "$typed")
}

complete -F _poise poise
