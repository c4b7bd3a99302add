package command

import (
	"strings"

	"github.com/alecthomas/kong"
)

type manCmd struct{}

// Help is shown after the summary of the flags.
func (*manCmd) Help() string {
	return `Prints the whole manual as a man page. To read it at once: shedbell man | man -l -

To have it for good: shedbell man > ~/.local/share/man/man1/shedbell.1`
}

func (*manCmd) Run(a *app, k *kong.Context) error {
	_, err := a.env.Stdout.Write([]byte(manPage(newOutline(k.Model.Node, nil))))
	return err
}

// manPage writes the manual in the man macros of roff.
func manPage(root *outline) string {
	p := &page{}
	p.line(`.TH SHEDBELL 1 "" "shedbell" "User Commands"`)
	p.line(".SH NAME")
	about := strings.Split(root.about, "\n\n")
	first := strings.TrimSuffix(about[0], ".")
	p.line(`shedbell \- ` + roff(strings.ToLower(first[:1])+first[1:]))
	p.line(".SH SYNOPSIS")
	p.line(`.B shedbell`)
	p.line(`[\fIcommand\fR] [\fIflags\fR]`)
	p.line(".SH DESCRIPTION")
	p.text(about[1:])
	p.line(".SH OPTIONS")
	p.options(root.flags)
	p.line(".SH COMMANDS")
	root.each(func(o *outline) {
		if len(o.path) > 0 && len(o.under) == 0 {
			p.command(o)
		}
	})
	p.line(".SH FILES")
	for _, f := range manFiles {
		p.tagged(`\fI`+roff(f[0])+`\fR`, f[1])
	}
	p.line(".SH ENVIRONMENT")
	for _, e := range manVariables {
		p.tagged(`\fB`+roff(e[0])+`\fR`, e[1])
	}
	return p.b.String()
}

// manFiles are in the data folder.
var manFiles = [][2]string{
	{"line.toml", "The line file: the shed, its wiring, its stations and its people. setup asks for it."},
	{"line.toml.1", "The line file as it was before setup first changed it; the next ones are line.toml.2 and so on."},
	{"recipes.toml", "The recipes."},
	{"day.toml", "The day sheet that the form for the day begins with."},
	{"shedbell.db", "The journal: everything that happened."},
	{"ssh_keys", "The public keys that serve lets in."},
}

var manVariables = [][2]string{
	{"SHEDBELL_DATA", "The data folder."},
	{"XDG_DATA_HOME", "The user's data home, in which the data folder is called shedbell."},
	{"NO_COLOR", "Anything in it: no colours."},
}

// page is a man page being written.
type page struct{ b strings.Builder }

func (p *page) line(s string) { p.b.WriteString(s + "\n") }

func (p *page) text(paragraphs []string) {
	for i, t := range paragraphs {
		if i > 0 {
			p.line(".PP")
		}
		p.lines(t)
	}
}

// lines keeps indented lines as they are: they are examples.
func (p *page) lines(t string) {
	for _, l := range strings.Split(t, "\n") {
		if strings.HasPrefix(l, "  ") {
			p.line(".br")
		}
		p.line(roff(strings.TrimLeft(l, " ")))
	}
}

func (p *page) command(o *outline) {
	p.line(".SS " + roff(o.id(" ")))
	var b strings.Builder
	b.WriteString(`\fBshedbell ` + roff(o.id(" ")) + `\fR`)
	if len(o.flags) > 0 {
		b.WriteString(` [\fIflags\fR]`)
	}
	for _, a := range o.args {
		name := `\fI` + roff(a.holder) + `\fR`
		if a.optional {
			name = "[" + name + "]"
		}
		b.WriteString(" " + name)
	}
	p.line(b.String())
	p.line(".PP")
	p.line(roff(o.about))
	for _, t := range strings.Split(o.more, "\n\n") {
		if t != "" && t != caution {
			p.line(".PP")
			p.lines(t)
		}
	}
	for _, a := range o.args {
		p.tagged(`\fI`+roff(a.holder)+`\fR`, a.about)
	}
	p.options(o.flags)
}

func (p *page) options(list []option) {
	for _, f := range list {
		tag := `\fB` + roff("--"+f.name) + `\fR`
		if f.short != 0 {
			tag = `\fB` + roff("-"+string(f.short)) + `\fR, ` + tag
		}
		if f.kind != noValue {
			tag += `=\fI` + roff(f.holder) + `\fR`
		}
		p.tagged(tag, f.about)
	}
}

func (p *page) tagged(tag, text string) {
	p.line(".TP")
	p.line(tag)
	p.line(roff(text))
}

// roff keeps text from being read as requests. A hyphen is written so that what
// is copied from the page is the one that the program takes.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, `-`, `\-`).Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}
