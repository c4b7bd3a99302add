package command

import (
	"strings"

	"github.com/alecthomas/kong"

	"shedbell/ui/words"
)

type manCmd struct{}

func (*manCmd) Run(a *app, k *kong.Context) error {
	_, err := a.env.Stdout.Write([]byte(manPage(a.words, newOutline(k.Model.Node, nil))))
	return err
}

// manPage writes the manual in the man macros of roff.
func manPage(w *words.Speaker, root *outline) string {
	p := &page{words: w}
	p.line(`.TH SHEDBELL 1 "" "shedbell" "` + w.Say("usage.manual") + `"`)
	p.head("name")
	first := strings.TrimSuffix(root.about, ".")
	p.line(`shedbell \- ` + roff(strings.ToLower(first[:1])+first[1:]))
	p.head("synopsis")
	p.line(`.B shedbell`)
	p.line(`[\fI` + w.Say("usage.command") + `\fR] [\fI` + w.Say("usage.some-flags") + `\fR]`)
	p.head("description")
	p.text(strings.Split(root.more, "\n\n"))
	p.head("options")
	p.options(root.flags)
	p.head("all-commands")
	root.each(func(o *outline) {
		if len(o.path) > 0 && len(o.under) == 0 {
			p.command(o)
		}
	})
	p.head("files")
	for _, f := range manFiles {
		p.tagged(`\fI`+roff(f[0])+`\fR`, w.Say(f[1]))
	}
	p.head("environment")
	for _, e := range manVariables {
		p.tagged(`\fB`+roff(e[0])+`\fR`, w.Say(e[1]))
	}
	return p.b.String()
}

// manFiles are in the data folder.
var manFiles = [][2]string{
	{"line.toml", "man.line"},
	{"line.toml.1", "man.line-before"},
	{"recipes.toml", "man.recipes"},
	{"day.toml", "man.day"},
	{PrefsFile, "man.settings"},
	{"shedbell.db", "man.journal"},
	{"ssh_keys", "man.keys"},
}

var manVariables = [][2]string{
	{"SHEDBELL_DATA", "man.data"},
	{"SHEDBELL_LANGUAGE", "man.language"},
	{"XDG_DATA_HOME", "man.home"},
	{"NO_COLOR", "man.no-color"},
}

// page is a man page being written.
type page struct {
	b     strings.Builder
	words *words.Speaker
}

// head begins a part.
func (p *page) head(key string) { p.line(".SH " + p.words.Say("usage."+key)) }

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
		b.WriteString(` [\fI` + p.words.Say("usage.some-flags") + `\fR]`)
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
		if t != "" && t != p.words.Say("cmd.caution") {
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
