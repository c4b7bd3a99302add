package command

import (
	"fmt"
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

type completionCmd struct {
	Shell string `arg:"" enum:"bash,zsh,fish"`
}

func (c *completionCmd) Run(a *app, k *kong.Context) error {
	o := newOutline(k.Model.Node, nil)
	write := map[string]func(*outline) string{"bash": bashScript, "zsh": zshScript, "fish": fishScript}
	_, err := a.env.Stdout.Write([]byte(write[c.Shell](o)))
	return err
}

// short is the first sentence, for the column beside what is completed.
func short(text string) string {
	if first, _, more := strings.Cut(text, ". "); more {
		text = first
	}
	return strings.TrimSuffix(text, ".")
}

// bashScript walks over the words so far to learn which command they are in, and
// whether the last one waits for its value. Bash hands --flag=value over as three
// words, which the walk puts together again.
func bashScript(root *outline) string {
	var b strings.Builder
	var steps []string
	values := map[string]option{}
	root.each(func(o *outline) {
		if len(o.path) > 0 {
			steps = append(steps, fmt.Sprintf("%q", "/"+o.id("/")))
		}
		for _, f := range o.flags {
			if f.kind != noValue {
				values["--"+f.name] = f
			}
		}
	})
	names := make([]string, 0, len(values))
	for name := range values {
		names = append(names, name)
	}
	slices.Sort(names)
	fmt.Fprintf(&b, bashHead, strings.Join(names, "|"), strings.Join(steps, "|"))
	for _, name := range names {
		fmt.Fprintf(&b, "        %s) %s; return ;;\n", name, bashValue(values[name]))
	}
	b.WriteString("    esac\n    case \"$path\" in\n")
	root.each(func(o *outline) {
		fmt.Fprintf(&b, "        %q)\n            flags=%q\n", o.slashed(), strings.Join(flagWords(root, o), " "))
		var words []string
		for _, c := range o.under {
			words = append(words, c.name())
		}
		for _, arg := range o.args {
			switch arg.kind {
			case oneWord:
				words = append(words, arg.words...)
			case aFile, aFolder:
				fmt.Fprintf(&b, "            [[ $cur == -* ]] || { %s; return; }\n", bashValue(arg))
			}
		}
		fmt.Fprintf(&b, "            words=%q ;;\n", strings.Join(words, " "))
	})
	b.WriteString(bashFoot)
	return b.String()
}

const bashHead = `# Completes shedbell in bash. Made by: shedbell completion bash

_shedbell_names() { # -f for files, -d for folders
    local IFS=$'\n'
    COMPREPLY=($(compgen "$1" -- "$2"))
    compopt -o filenames 2>/dev/null
}

_shedbell() {
    local cur="${COMP_WORDS[COMP_CWORD]}" path="" waits="" flags="" words="" word i
    COMPREPLY=()
    for ((i = 1; i < COMP_CWORD; i++)); do
        word="${COMP_WORDS[i]}"
        if [[ -n $waits ]]; then
            [[ $word == "=" ]] || waits=""
            continue
        fi
        case "$word" in
            %s) waits="$word"; continue ;;
        esac
        case "$path/$word" in
            %s) path="$path/$word" ;;
        esac
    done
    [[ $cur == "=" ]] && cur=""
    case "$waits" in
`

const bashFoot = `    esac
    [[ $cur == -* ]] && words="$flags"
    COMPREPLY=($(compgen -W "$words" -- "$cur"))
}

complete -F _shedbell shedbell
`

// slashed is the command as the walk in bash writes it.
func (o *outline) slashed() string {
	if len(o.path) == 0 {
		return ""
	}
	return "/" + o.id("/")
}

func bashValue(o option) string {
	switch o.kind {
	case aFile:
		return `_shedbell_names -f "$cur"`
	case aFolder:
		return `_shedbell_names -d "$cur"`
	case oneWord:
		return fmt.Sprintf(`COMPREPLY=($(compgen -W %q -- "$cur"))`, strings.Join(o.words, " "))
	}
	return ":"
}

// flagWords are the flags that a command takes: its own and the program's.
func flagWords(root, o *outline) []string {
	var out []string
	for _, f := range allFlags(root, o) {
		out = append(out, "--"+f.name)
		if f.short != 0 {
			out = append(out, "-"+string(f.short))
		}
	}
	return out
}

func allFlags(root, o *outline) []option {
	if o == root {
		return root.flags
	}
	return slices.Concat(o.flags, root.flags)
}
