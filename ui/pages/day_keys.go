package pages

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
)

var (
	keyDayDigits = screen.Bind("0-9", "does.type", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyDayNext   = screen.Bind("Enter", "day.next-row", "enter", "down", "up")
	keyDayAdjust = screen.Bind("+ -", "day.one-more", "+", "-")
	keyDayField  = screen.Bind("/", "day.field", "/", "tab", "left", "right")
	keyDayLetter = screen.Bind("a-z", "day.letter")
	keyDayErase  = screen.Bind("backspace", "does.erase", "backspace")
	keyDayExit   = screen.Bind("0", "does.back-when-empty", "esc")
	keyDayBack   = screen.Bind("0", "does.back", "0", "esc")
	keyDayHelp   = screen.Bind("?", "does.help", "?")
)

// Keys lists what can be pressed.
func (f *Day) Keys(env *screen.Env) []screen.Binding {
	c, p := f.cropAt(f.row), f.personAt(f.row)
	next, adjust, field := keyDayNext, keyDayAdjust, keyDayField
	noDigit, noAdjust, noField := "", "", ""
	switch {
	case c != nil && f.inDue:
		adjust = screen.Bind("+ -", "day.quarter", "+", "-")
		field = screen.Bind("/", "day.trays", "/")
	case c != nil:
		field = screen.Bind("/", "day.due-time", "/")
	case p != nil:
		adjust = screen.Bind("+ -", "day.on-or-not", "+", "-")
		noDigit, noField = "day.no-number", "day.no-due"
	default:
		next = screen.Bind("Enter", f.sends(), "enter")
		noDigit, noAdjust, noField = "day.crop-first", "day.crop-first", "day.crop-first"
	}
	_, then := f.source(env)
	other, noOther := screen.Bind("*", env.Words.Say("day.or", then.label), "*"), ""
	if f.adding {
		other, noOther = screen.Bind("*", "day.otherwise", "*"), "day.open-already"
	}
	return []screen.Binding{screen.Bind(".", f.sends(), "."), next, other.Unless(noOther), field.Unless(noField), adjust.Unless(noAdjust),
		keyDayDigits.Unless(noDigit), keyDayLetter, keyDayErase.Unless(noDigit), keyDayExit, keyDayHelp}
}

// sends is the key of what the last row and the point do.
func (f *Day) sends() string {
	if f.adding {
		return "day.add"
	}
	return "day.open"
}

func (f *Day) pressed(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	sure := f.sure
	f.sure = false
	switch s := k.String(); s {
	case "*":
		f.sure = sure
		return f.another(env)
	case "enter":
		if f.row == f.rows()-1 {
			return f.send(env)
		}
		f.enter(f.row + 1)
	case "down":
		f.enter(f.row + 1)
	case "up":
		f.enter(f.row - 1)
	case ".":
		return f.send(env)
	case "/", "tab", "left", "right":
		if f.cropAt(f.row) != nil {
			f.inDue, f.fresh = !f.inDue, true
		}
	case "esc":
		return screen.Leave
	case "?":
		return screen.Open(screen.Help)
	case "backspace":
		if field := f.field(); field != nil && *field != "" {
			*field, f.fresh, f.touched = (*field)[:len(*field)-1], false, true
		}
	case "+", "=":
		f.adjust(env, 1)
	case "-":
		f.adjust(env, -1)
	case "0", "1", "2", "3", "4", "5", "6", "7", "8", "9":
		return f.digit(env, s)
	default:
		if k.Type == tea.KeyRunes && len(k.Runes) == 1 {
			f.jump(env, k.Runes[0])
		}
	}
	return nil
}

// The longest entries: more trays than a day can have still show as typed, so that
// the message about them makes sense.
const (
	maxTrayDigits = 5
	maxDueDigits  = 4
)

func (f *Day) digit(env *screen.Env, s string) tea.Cmd {
	field := f.field()
	if field == nil {
		if s == "0" {
			return screen.Leave
		}
		return nil
	}
	switch {
	case s == "0" && !f.inDue && *field == "":
		return screen.Leave
	case s == "0" && !f.inDue && f.fresh:
		*field = "" // no trays of it
	case f.fresh:
		*field = s
	case f.inDue && len(*field) >= maxDueDigits, !f.inDue && len(*field) >= maxTrayDigits:
		return screen.Say(env.Words.Say("day.full"))
	default:
		*field += s
	}
	f.fresh, f.touched = false, true
	return nil
}

func (f *Day) adjust(env *screen.Env, by int) {
	f.touched = true
	if p := f.personAt(f.row); p != nil {
		p.on = by > 0
		return
	}
	field := f.field()
	if field == nil {
		return
	}
	f.fresh = true
	if f.inDue {
		*field = laterDue(*field, by, env.Now)
		return
	}
	n, _ := strconv.Atoi(*field)
	*field = ""
	if n += by; n > 0 {
		*field = strconv.Itoa(n)
	}
}

const dueStep = 15 * time.Minute

// laterDue moves a due time by quarters of an hour; an empty one begins at the
// next full hour but one.
func laterDue(typed string, by int, now time.Time) string {
	n, err := strconv.Atoi(typed)
	if err != nil || len(typed) != 4 || n/100 > 23 || n%100 > 59 {
		return now.Truncate(time.Hour).Add(2 * time.Hour).Format("1504")
	}
	at := time.Date(now.Year(), now.Month(), now.Day(), n/100, n%100, 0, 0, now.Location())
	return at.Add(time.Duration(by) * dueStep).Format("1504")
}

// jump goes to the next row whose name begins with a letter.
func (f *Day) jump(env *screen.Env, c rune) {
	for i := 1; i <= f.rows(); i++ {
		row := (f.row + i) % f.rows()
		name := env.Words.Say(f.sends())
		if c := f.cropAt(row); c != nil {
			name = c.name
		} else if p := f.personAt(row); p != nil {
			name = p.name
		}
		if strings.HasPrefix(strings.ToLower(name), string(unicode.ToLower(c))) {
			f.enter(row)
			return
		}
	}
}

// clockDigits writes a due time as a clock shows it, as far as it is typed.
func clockDigits(typed string) string {
	if len(typed) <= 2 {
		return typed
	}
	return fmt.Sprintf("%s:%s", typed[:2], typed[2:])
}
