package form

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
)

// row is a Row with what was typed into it: one part, or two where a weight has
// pounds and ounces, or a number a unit beside it.
type row struct {
	Row
	parts  []*part
	filled []string // what stood in the parts at first
	fault  string
}

// part is one place that is typed into or chosen in.
type part struct {
	in      textinput.Model
	letters bool     // a text is typed, not a number
	choices []string // said
	own     string   // label of the choice by which something else is typed
	pick    int      // of choices, -1 while nothing was chosen
	digits  string   // of a choice's number, where that has two
	marked  bool     // entered as a whole: what is typed replaces it
}

// The most characters that are taken.
const (
	mostDigits  = 9
	mostLetters = 300
)

func newPart() *part {
	p := &part{in: textinput.New(), pick: -1}
	p.in.CharLimit = mostDigits
	p.in.KeyMap.Paste = key.NewBinding() // would read a clipboard that may be somebody else's
	p.in.Focus()
	return p
}

func (k Kind) isNumber() bool { return k <= TimeOfDay }

func (f *Form) newRow(r Row) *row {
	out := &row{Row: r}
	switch r.Kind {
	case Send:
		return out
	case Text:
		p := newPart()
		p.letters, p.in.CharLimit = true, max(mostLetters, 2*len(r.Filled.text))
		p.set(r.Filled.text)
		out.parts = []*part{p}
	case YesNo:
		out.parts = []*part{f.choicePart([]string{"does.yes", "does.no"}, "", r.Filled)}
	case Choice:
		out.parts = []*part{f.choicePart(r.Choices, r.Own, r.Filled)}
	default:
		for range f.units(&r) {
			out.parts = append(out.parts, newPart())
		}
		if r.Filled.known {
			for i, text := range f.split(&r, r.Filled.number, math.Round) {
				out.parts[i].set(text)
			}
		}
		if len(r.Units) > 1 {
			out.parts = append(out.parts, f.choicePart(r.Units, "", Num(float64(max(0, slices.Index(r.Units, r.Unit))))))
		}
	}
	for _, p := range out.parts {
		out.filled = append(out.filled, p.state())
	}
	return out
}

func (f *Form) choicePart(choices []string, own string, filled Value) *part {
	p := newPart()
	p.in.CharLimit = mostLetters
	for _, c := range choices {
		p.choices = append(p.choices, f.words.Say(c))
	}
	if own != "" {
		p.own = f.words.Say(own)
	}
	if p.pick = p.index(filled); p.pick < 0 && own != "" && filled.text != "" {
		p.letters = true
		p.set(filled.text)
	}
	return p
}

// keep takes over what was typed into a row of the same name and kind.
func (r *row) keep(old *row) {
	if r.Name != old.Name || r.Kind != old.Kind || len(r.parts) != len(old.parts) {
		return
	}
	r.filled, r.fault = old.filled, old.fault
	for i, p := range r.parts {
		o := old.parts[i]
		pick := o.pick
		if len(o.choices) != len(p.choices) && pick >= 0 {
			pick = slices.Index(p.choices, o.choices[pick])
		}
		p.in, p.letters, p.digits, p.marked, p.pick = o.in, o.letters, o.digits, o.marked, pick
	}
}

// index is the choice that a value means, -1 where it means none.
func (p *part) index(v Value) int {
	if i := int(v.number); v.known && i >= 0 && i < len(p.choices) {
		return i
	}
	if v.text != "" {
		return slices.Index(p.choices, v.text)
	}
	return -1
}

// count is how many choices there are, the one for something else among them.
func (p *part) count() int {
	if p.own != "" {
		return len(p.choices) + 1
	}
	return len(p.choices)
}

// chooses says that digits choose here.
func (p *part) chooses() bool { return p.count() > 0 && !p.letters }

func (p *part) text() string { return p.in.Value() }

func (p *part) set(text string) {
	p.in.SetValue(text)
	p.in.CursorEnd()
}

// state is all that tells one answer from another.
func (p *part) state() string { return fmt.Sprint(p.pick, p.letters, p.text()) }

func (r *row) changed() bool {
	for i, p := range r.parts {
		if p.state() != r.filled[i] {
			return true
		}
	}
	return false
}

// empty says that nothing was typed into a number.
func (r *row) empty() bool {
	return !slices.ContainsFunc(r.parts, func(p *part) bool { return !p.chooses() && p.text() != "" })
}

func (r *row) there(f *Form) bool { return r.When == nil || r.When(f) }

func (r *row) preset(f *Form) Value {
	if r.DefaultOf != nil {
		return r.DefaultOf(f)
	}
	return r.Default
}

// picked is the index of what is chosen, or of what Enter would choose.
func (r *row) picked(f *Form) int {
	switch {
	case r.Kind != Choice && r.Kind != YesNo, r.parts[0].letters:
		return -1
	case r.parts[0].pick >= 0:
		return r.parts[0].pick
	}
	return r.parts[0].index(r.preset(f))
}

func (r *row) answer(f *Form) string {
	switch {
	case r.Kind == Text || r.Kind == Choice && r.parts[0].letters:
		if text := strings.TrimSpace(r.parts[0].text()); text != "" || r.Kind == Choice {
			return text
		}
		return r.preset(f).text
	case r.Kind == Choice || r.Kind == YesNo:
		if i := r.picked(f); i >= 0 && i < len(r.parts[0].choices) {
			return r.parts[0].choices[i]
		}
	}
	return ""
}

// wrong says what keeps a row from being taken; empty: nothing does.
func (r *row) wrong(f *Form) string {
	missing := false
	switch {
	case r.Kind.isNumber():
		v, fault := r.number(f)
		if fault != "" {
			return fault
		}
		missing = !v.known
	case r.Kind != Send:
		missing = r.answer(f) == ""
		if missing && !r.Optional && r.parts[0].chooses() {
			return f.words.Say("form.choose", r.parts[0].count())
		}
	}
	if missing && !r.Optional {
		return f.words.Say("form.missing", f.words.Say(r.Label))
	}
	if r.Check != nil {
		return r.Check(f)
	}
	return ""
}

// typeRune puts a character into a part. What is marked as a whole goes.
func (p *part) typeRune(c rune) (took bool) {
	if p.marked {
		p.set("")
	}
	p.marked = false
	before := len([]rune(p.text()))
	p.in, _ = p.in.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{c}})
	return len([]rune(p.text())) > before
}

// erase takes away the character before the cursor, or all that is marked.
func (p *part) erase() {
	switch {
	case p.chooses():
		p.pick, p.digits = -1, ""
		return
	case p.marked:
		p.set("")
	default:
		p.in, _ = p.in.Update(tea.KeyMsg{Type: tea.KeyBackspace})
	}
	p.marked = false
	if p.text() == "" && p.own != "" {
		p.letters = false // back to the choices
	}
}

// fits says what a character is in a part of a row's number; 0: nothing.
func (r *row) fits(p *part, c rune) rune {
	switch clock := r.Kind == Duration || r.Kind == TimeOfDay; {
	case c >= '0' && c <= '9':
		return c
	case clock && strings.ContainsRune(".,:", c):
		if strings.Contains(p.text(), ":") && !p.marked {
			return 0
		}
		return ':'
	case (c == '.' || c == ',') && !clock && (p.marked || !strings.Contains(p.text(), ".")):
		return '.'
	case c == '-' && r.signed() && (p.text() == ""):
		return c
	}
	return 0
}

func (r *row) signed() bool { return r.Kind == Temperature || r.Min < 0 }

// letterOK leaves out what would steer a terminal or turn the direction of reading.
func letterOK(c rune) bool { return unicode.IsPrint(c) }
