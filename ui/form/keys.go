package form

import (
	"math"
	"strconv"
	"strings"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
)

// The keys that mean the same in every row; / - and = are letters in a text that has
// been begun.
var (
	keyTake   = key.NewBinding(key.WithKeys("enter"))
	keyEsc    = key.NewBinding(key.WithKeys("esc"))
	keyNext   = key.NewBinding(key.WithKeys("+", "tab"))
	keyBefore = key.NewBinding(key.WithKeys("shift+tab"))
	keyUp     = key.NewBinding(key.WithKeys("up"))
	keyDown   = key.NewBinding(key.WithKeys("down"))
	keyAlarms = key.NewBinding(key.WithKeys("*"))
	keySide   = key.NewBinding(key.WithKeys("left", "right"))
	keyErase  = key.NewBinding(key.WithKeys("backspace", "ctrl+h"))
	keyEdit   = key.NewBinding(key.WithKeys("home", "end", "delete", "ctrl+a", "ctrl+e", "ctrl+k", "ctrl+u", "ctrl+w"))
)

// Update answers a key. The command is for the frame: help, alarms.
func (f *Form) Update(env *screen.Env, k tea.KeyMsg) (Outcome, tea.Cmd) {
	f.words = env.Words
	switch leaves := key.Matches(k, keyEsc) || k.String() == "/" && !f.begun(); {
	case leaves || len(f.rows) == 0:
		f.shown, f.told, f.fault = false, "", ""
		return Left, nil
	case !f.shown:
		return None, nil
	}
	f.told, f.fault = "", ""
	switch {
	case key.Matches(k, keyAlarms) && !k.Paste:
		return None, screen.Hush
	case k.String() == "?" && !f.letters():
		return None, screen.Open(screen.Help)
	case f.waits != "":
		f.told = f.words.Say("form.wait")
		return None, nil
	}
	r := f.rows[f.at]
	r.fault = ""
	before := r.states()
	out := f.pressed(k)
	if out == None && r.states() != before {
		out = Changed
	}
	return out, nil
}

func (r *row) states() string {
	var b strings.Builder
	for _, p := range r.parts {
		b.WriteString(p.state() + "\n")
	}
	return b.String()
}

// now is the part that is typed into; nil on the line that sends.
func (f *Form) now() *part {
	if len(f.rows) == 0 {
		return nil
	}
	if r := f.rows[f.at]; f.part < len(r.parts) {
		return r.parts[f.part]
	}
	return nil
}

// letters says that a text is typed, begun that its next character cannot be a key.
func (f *Form) letters() bool { p := f.now(); return p != nil && p.letters }
func (f *Form) begun() bool   { p := f.now(); return f.letters() && p.text() != "" && !p.marked }

// pressed goes to another field, or has the one at hand answer the key.
func (f *Form) pressed(k tea.KeyMsg) Outcome {
	p, lines := f.now(), len(f.lines())
	switch {
	case k.Paste:
		f.paste(k)
	case key.Matches(k, keyTake):
		return f.take()
	case p != nil && f.rows[f.at].Kind == Ago && (k.String() == "-" || k.String() == "+"):
		f.shift(p, k.String() == "-")
	case key.Matches(k, keyNext) || k.String() == "=" && !f.begun():
		f.walk(1)
	case key.Matches(k, keyBefore):
		f.walk(-1)
	case key.Matches(k, keyUp, keyDown) && lines > 1:
		f.step(direction(k))
	case p == nil:
		f.told = f.words.Say("form.nothing-here")
	case key.Matches(k, keyUp, keyDown) && !p.chooses():
		f.told = f.words.Say("form.only-field")
	default:
		return f.edit(p, k)
	}
	return None
}

// shift puts how long ago something was a minute earlier or later.
func (f *Form) shift(p *part, earlier bool) {
	r := f.rows[f.at]
	v, _ := r.number(f)
	n := math.Ceil(v.number/60) + 1
	if !earlier {
		n = max(0, n-2)
	}
	if n*60 > r.Max {
		f.told = f.between(&r.Row)
		return
	}
	p.set(strconv.Itoa(int(n)))
	p.marked = true
}

// edit changes what stands in a part.
func (f *Form) edit(p *part, k tea.KeyMsg) Outcome {
	switch {
	case key.Matches(k, keyErase):
		f.erase(p)
	case p.chooses() && key.Matches(k, keyUp, keyDown, keySide) && len(p.choices) > 0:
		n := len(p.choices)
		p.pick = (max(f.rows[f.at].picked(f), p.pick) + direction(k) + n) % n
	case k.Alt:
		f.told = f.notHere(p)
	case key.Matches(k, keySide, keyEdit):
		at, marked := p.in.Position(), p.marked
		before := p.state()
		p.marked = false
		if p.in, _ = p.in.Update(k); !marked && p.in.Position() == at && p.state() == before {
			f.told = f.notHere(p)
		}
	case k.Type == tea.KeyRunes || k.Type == tea.KeySpace:
		return f.typed(p, k.Runes)
	default:
		f.told = f.notHere(p)
	}
	return None
}

func direction(k tea.KeyMsg) int {
	if s := k.String(); s == "up" || s == "left" {
		return -1
	}
	return 1
}

// paste goes into texts only: what somebody has copied is seldom a number, and never
// an answer.
func (f *Form) paste(k tea.KeyMsg) {
	p := f.now()
	if p == nil || !p.letters && p.own == "" {
		f.told = f.words.Say("form.no-paste")
		return
	}
	p.letters = true
	for _, c := range k.Runes {
		if letterOK(c) {
			p.typeRune(c)
		}
	}
}

// typed puts characters into a part, or answers with them.
func (f *Form) typed(p *part, runes []rune) Outcome {
	r := f.rows[f.at]
	for _, c := range runes {
		switch {
		case p.letters:
			f.typeLetter(p, c)
		case p.chooses():
			if out := f.choose(p, c); out != None {
				return out
			}
		case c == '-' && (p.text() != "" || !r.signed()):
			f.erase(p)
		case (c == 'a' || c == 'p') && r.Kind == TimeOfDay:
			f.halfDay(p, c == 'p')
		default:
			if fit := r.fits(p, c); fit == 0 {
				f.told = f.notHere(p)
			} else if !p.typeRune(fit) {
				f.told = f.words.Say("form.full")
			}
		}
	}
	return None
}

func (f *Form) typeLetter(p *part, c rune) {
	first := p.marked || p.text() == ""
	switch {
	case c == '-' && first:
		f.erase(p)
	case first && f.rows[f.at].LetterFirst && unicode.IsDigit(c):
		f.told = f.words.Say("form.letter-first")
	case !letterOK(c):
		f.told = f.notHere(p)
	case !p.typeRune(c):
		f.told = f.words.Say("form.full")
	}
}

func (f *Form) erase(p *part) {
	before := p.state()
	if p.erase(); p.state() == before {
		f.told = f.words.Say("form.nothing-typed")
	}
}

// halfDay turns what was typed into the morning or the afternoon.
func (f *Form) halfDay(p *part, pm bool) {
	r := f.rows[f.at]
	v, fault := r.parseTime(f)
	if fault != "" {
		f.told = fault
		return
	}
	const half = 12 * 3600
	switch {
	case pm && v < half:
		v += half
	case !pm && v >= half:
		v -= half
	default:
		f.told = f.words.Say("form.half-day")
	}
	p.set(f.split(&r.Row, v, nil)[0])
}

// choose answers a choice with a digit or a letter.
func (f *Form) choose(p *part, c rune) Outcome {
	switch {
	case c >= '0' && c <= '9':
		return f.digit(p, c)
	case c == '-':
		f.erase(p)
	case p.own != "" && unicode.IsLetter(c):
		p.letters, p.pick = true, -1
		p.set("")
		p.typeRune(c)
	default:
		from := max(f.rows[f.at].picked(f), p.pick)
		for i := range p.choices {
			at := (from + 1 + i) % len(p.choices)
			if name := []rune(p.choices[at]); len(name) > 0 && unicode.ToLower(name[0]) == unicode.ToLower(c) {
				if p.pick = at; at == from {
					f.told = f.words.Say("form.choose", p.count())
				}
				return None
			}
		}
		f.told = f.words.Say("form.choose", p.count())
	}
	return None
}

// digit waits for a second one only where there can be one.
func (f *Form) digit(p *part, c rune) Outcome {
	n, _ := strconv.Atoi(p.digits + string(c))
	p.digits = ""
	switch {
	case n < 1 || n > p.count():
		f.told = f.words.Say("form.choose", p.count())
	case n == p.count() && p.own != "":
		p.letters, p.pick, p.marked = true, -1, false
		p.set("")
	case n*10 <= p.count():
		p.pick, p.digits = n-1, strconv.Itoa(n)
	default:
		p.pick = n - 1
		return f.take()
	}
	return None
}

// notHere says what a part takes instead of the key that was pressed.
func (f *Form) notHere(p *part) string {
	switch {
	case p.letters:
		return f.words.Say("form.not-a-letter")
	case p.chooses():
		return f.words.Say("form.choose", p.count())
	}
	return f.words.Say("form.digits-only")
}
