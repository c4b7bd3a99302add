package command

import (
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

// outline is one command as shells and the man page see it: a plain view of the
// parser's own model, so that neither can tell of a flag that there is not.
type outline struct {
	path  []string // empty for the program itself
	about string   // one sentence or two
	more  string   // the text below a command's flags in its help
	flags []option // its own
	args  []option
	under []*outline
}

// valueKind says what a value is taken from.
type valueKind uint8

const (
	noValue valueKind = iota
	anyText
	aFile
	aFolder
	oneWord // one of option.words
)

// option is a flag, or an argument that has only its place.
type option struct {
	name     string // without dashes
	short    rune
	about    string
	holder   string // stands for the value in help
	kind     valueKind
	words    []string
	optional bool
}

func newOutline(n *kong.Node, path []string) *outline {
	o := &outline{path: path, about: n.Help, more: n.Detail}
	for _, f := range n.Flags {
		if !f.Hidden {
			o.flags = append(o.flags, flagOption(f))
		}
	}
	for _, p := range n.Positional {
		a := valueOption(p, p.Tag.PlaceHolder)
		a.name, a.about, a.optional = p.Name, p.Help, !p.Required
		o.args = append(o.args, a)
	}
	for _, c := range n.Children {
		if !c.Hidden && c.Type == kong.CommandNode {
			o.under = append(o.under, newOutline(c, append(slices.Clone(path), c.Name)))
		}
	}
	return o
}

func flagOption(f *kong.Flag) option {
	o := option{}
	if !f.IsBool() {
		o = valueOption(f.Value, f.PlaceHolder)
		o.holder = strings.Trim(f.FormatPlaceHolder(), `"`)
	}
	o.name, o.short, o.about = f.Name, f.Short, f.Help
	return o
}

func valueOption(v *kong.Value, holder string) option {
	o := option{kind: anyText, holder: holder}
	switch {
	case v.Enum != "":
		o.kind, o.words = oneWord, v.EnumSlice()
	case v.Tag.Get("complete") == "file":
		o.kind = aFile
	case v.Tag.Get("complete") == "folder":
		o.kind = aFolder
	}
	if o.holder == "" {
		o.holder = strings.ToUpper(v.Name)
	}
	return o
}

// each visits the command and all below it, in the order of the help.
func (o *outline) each(visit func(*outline)) {
	visit(o)
	for _, c := range o.under {
		c.each(visit)
	}
}

// name is the last word of the command.
func (o *outline) name() string { return o.path[len(o.path)-1] }

// id is the whole command in one word.
func (o *outline) id(sep string) string { return strings.Join(o.path, sep) }
