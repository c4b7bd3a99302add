package command

import (
	"fmt"
	"strings"
)

// zshScript is a function for each command; one with others below it hands the
// rest of the words on.
func zshScript(root *outline) string {
	var b strings.Builder
	b.WriteString("#compdef shedbell\n# Completes shedbell in zsh. Made by: shedbell completion zsh\n")
	root.each(func(o *outline) {
		fmt.Fprintf(&b, "\n%s() {\n", zshName(o))
		if len(o.under) > 0 {
			b.WriteString("  local curcontext=\"$curcontext\" state line\n  local -a commands\n")
		}
		b.WriteString("  _arguments -C")
		for _, f := range allFlags(root, o) {
			b.WriteString(" \\\n    " + zshFlag(f))
		}
		for i, arg := range o.args {
			colon := ":"
			if arg.optional {
				colon = "::"
			}
			fmt.Fprintf(&b, " \\\n    '%d%s%s%s'", i+1, colon, zshText(arg.name), zshValue(arg))
		}
		if len(o.under) > 0 {
			b.WriteString(" \\\n    '1: :->command' \\\n    '*:: :->rest'")
			zshUnder(&b, o)
		}
		b.WriteString("\n}\n")
	})
	b.WriteString("\nif [ \"$funcstack[1]\" = \"_shedbell\" ]; then\n  _shedbell \"$@\"\nelse\n  compdef _shedbell shedbell\nfi\n")
	return b.String()
}

func zshUnder(b *strings.Builder, o *outline) {
	b.WriteString("\n  case $state in\n    command)\n      commands=(\n")
	for _, c := range o.under {
		fmt.Fprintf(b, "        '%s:%s'\n", c.name(), zshText(short(c.about)))
	}
	b.WriteString("      )\n      _describe command commands ;;\n    rest)\n      case $words[1] in\n")
	for _, c := range o.under {
		fmt.Fprintf(b, "        %s) %s ;;\n", c.name(), zshName(c))
	}
	b.WriteString("      esac ;;\n  esac")
}

func zshName(o *outline) string { return strings.TrimSuffix("_shedbell_"+o.id("_"), "_") }

func zshFlag(f option) string {
	about := "[" + zshText(short(f.about)) + "]"
	switch {
	case f.short != 0:
		return fmt.Sprintf("'(-%c --%s)'{-%c,--%s}'%s'", f.short, f.name, f.short, f.name, about)
	case f.kind == noValue:
		return fmt.Sprintf("'--%s%s'", f.name, about)
	}
	return fmt.Sprintf("'--%s=%s:%s%s'", f.name, about, zshText(f.holder), zshValue(f))
}

func zshValue(o option) string {
	switch o.kind {
	case aFile:
		return ":_files"
	case aFolder:
		return ":_files -/"
	case oneWord:
		return ":(" + strings.Join(o.words, " ") + ")"
	}
	return ": "
}

// zshText writes text for within single quotes, where brackets and colons part
// what _arguments reads.
func zshText(s string) string {
	return strings.NewReplacer(`'`, `'\''`, `[`, `\[`, `]`, `\]`, `:`, `\:`).Replace(s)
}

// fishScript is one line for everything that can be completed, with when it can.
func fishScript(root *outline) string {
	var b strings.Builder
	b.WriteString("# Completes shedbell in fish. Made by: shedbell completion fish\ncomplete -c shedbell -f\n")
	root.each(func(o *outline) {
		within := fishWithin(o)
		for _, c := range o.under {
			when := "__fish_use_subcommand"
			if len(o.path) > 0 {
				var names []string
				for _, sibling := range o.under {
					names = append(names, sibling.name())
				}
				when = within + "; and not __fish_seen_subcommand_from " + strings.Join(names, " ")
			}
			fmt.Fprintf(&b, "complete -c shedbell -n '%s' -a %s -d '%s'\n", when, c.name(), fishText(short(c.about)))
		}
		when := ""
		if within != "" {
			when = " -n '" + within + "'"
		}
		for _, f := range o.flags {
			letter := ""
			if f.short != 0 {
				letter = " -s " + string(f.short)
			}
			fmt.Fprintf(&b, "complete -c shedbell%s -l %s%s%s -d '%s'\n", when, f.name, letter, fishValue(f), fishText(short(f.about)))
		}
		for _, arg := range o.args {
			if value := fishValue(arg); value != " -x" {
				fmt.Fprintf(&b, "complete -c shedbell%s%s\n", when, strings.TrimPrefix(value, " -r"))
			}
		}
	})
	return b.String()
}

// fishWithin is the condition that the words so far are in a command.
func fishWithin(o *outline) string {
	parts := make([]string, len(o.path))
	for i, name := range o.path {
		parts[i] = "__fish_seen_subcommand_from " + name
	}
	return strings.Join(parts, "; and ")
}

func fishValue(o option) string {
	switch o.kind {
	case noValue:
		return ""
	case aFile:
		return " -r -F"
	case aFolder:
		return " -r -a '(__fish_complete_directories)'"
	case oneWord:
		return " -r -a '" + strings.Join(o.words, " ") + "'"
	}
	return " -x"
}

func fishText(s string) string { return strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(s) }
