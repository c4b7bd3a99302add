package pages

import (
	"strconv"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// stationAsk is a question in place of the details: one of several answers by number, a
// number, or words.
type stationAsk struct {
	title   string
	why     string   // what would be lost, or what to know
	choices []string // answered by number, from 1
	number  bool     // a number is typed
	words   bool     // words are typed
	text    string
	takes   string // what Enter takes while nothing is typed; empty: it has to be typed
	// done answers: the number of the choice, or what was typed. It may ask on.
	done func(choice int, text string) (*stationAsk, tea.Cmd)
}

var (
	keyStationConfirm = act.Key("Enter", "does.confirm", "enter")
	keyStationNo      = act.Key("0", "does.leave-it", "0", "esc")
)

// actions are the keys of the question, which answers every key.
func (a *stationAsk) actions(env *screen.Env, s *Station) act.Table {
	press := func(k tea.KeyMsg) (cmd tea.Cmd) {
		s.ask, cmd = a.pressed(env, k)
		return cmd
	}
	keys := act.Table{act.Key("Enter", "does.yes", "enter"), keyStationNo}
	switch {
	case a.words:
		keys = act.Table{keyStationConfirm, act.Key("a-z", "does.type"), act.Key("esc", "does.leave-it", "esc")}
	case a.number:
		keys = act.Table{act.Key("0-9", "does.answer"), keyStationConfirm, keyStationNo}
	case len(a.choices) == 1:
		keys = act.Table{act.Key("1", "does.answer"), keyStationNo}
	case len(a.choices) > 1:
		keys = act.Table{act.Key("1-"+strconv.Itoa(len(a.choices)), "does.answer"), keyStationNo}
	}
	for i := range keys {
		keys[i] = keys[i].Take(press)
	}
	return append(keys, act.Others("", "").Take(press).Hidden())
}

const longestText = 60

// pressed answers a key; the question that remains is returned.
func (a *stationAsk) pressed(env *screen.Env, k tea.KeyMsg) (*stationAsk, tea.Cmd) {
	name := k.String()
	switch {
	case name == "esc", name == "0" && a.text == "" && !a.words:
		return nil, screen.Say(env.Words.Say("station.left"))
	case name == "backspace":
		if r := []rune(a.text); len(r) > 0 {
			a.text = string(r[:len(r)-1])
		}
	case name == "enter":
		return a.entered()
	case a.words:
		a.typeWords(k)
	case len(name) == 1 && unicode.IsDigit(rune(name[0])):
		if a.number {
			if len(a.text) < 6 {
				a.text += name
			}
			return a, nil
		}
		if n := int(name[0] - '0'); n <= len(a.choices) {
			return a.done(n, "")
		}
	}
	return a, nil
}

func (a *stationAsk) typeWords(k tea.KeyMsg) {
	for _, c := range k.Runes {
		if unicode.IsPrint(c) && len([]rune(a.text)) < longestText {
			a.text += string(c)
		}
	}
}

func (a *stationAsk) entered() (*stationAsk, tea.Cmd) {
	switch {
	case len(a.choices) > 0:
		return a, nil
	case !a.number && !a.words:
		return a.done(1, "")
	case a.text == "" && a.takes == "" && !a.words:
		return a, nil
	case a.text == "":
		return a.done(0, a.takes)
	}
	return a.done(0, a.text)
}

func (a *stationAsk) draw(w *words.Speaker, r canvas.Region) {
	y := r.Inset(1, 0).Wrapped(theme.Action, " "+a.title+" ")
	if a.why != "" {
		y += r.Sub(2, y, r.W-3, r.H-y).Wrapped(theme.Text, a.why)
	}
	for i, c := range a.choices {
		r.Put(2, y, theme.Strong, strconv.Itoa(i+1))
		r.Put(4, y, theme.Text, c)
		y++
	}
	switch {
	case a.number || a.words:
		x := 2 + r.Put(2, y, theme.Strong, a.text+r.Theme().Glyphs.Cursor)
		if a.text == "" && a.takes != "" {
			r.Put(x+1, y, theme.Text, w.Say("station.takes", a.takes))
		}
		r.Put(2, y+1, theme.Faint, w.Say("station.esc"))
	case len(a.choices) == 0:
		r.Put(2, y, theme.Strong, w.Say("station.yes-no"))
	default:
		r.Put(2, y, theme.Strong, "0")
		r.Put(4, y, theme.Text, w.Say("station.no-leave"))
	}
}
