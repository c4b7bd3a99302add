package recipeui

import (
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes/air"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// airPage asks for the air: two numbers.
type airPage struct {
	typed [2]string // temperature, humidity
	field int
	back  page
}

var airNames = [2]string{"temperature", "humidity"}

func (s *Screen) askAir(*screen.Env) tea.Cmd {
	s.at = &airPage{back: s.at}
	return nil
}

func (p *airPage) typing() bool { return true }

func (p *airPage) keys(*Screen, *screen.Env) []screen.Binding {
	enter := screen.Bind("Enter", "next", "enter")
	if p.field == 1 {
		enter = screen.Bind("Enter", "take it", "enter")
	}
	erase := screen.Bind("-", "below zero", "-")
	if p.typed[p.field] != "" {
		erase = screen.Bind("-", "take a digit away", "-", "backspace")
	}
	return []screen.Binding{screen.Bind("0-9 .", "type it", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "."), enter, erase,
		screen.Bind("/", "other number", "/", "tab", "up", "down"), screen.Bind("0", "on an empty field: back", "esc"), keyHelp}
}

const airDigits = 5

func (p *airPage) update(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	field := &p.typed[p.field]
	switch c := k.String(); {
	case c == "?":
		return screen.Open(screen.Help)
	case c == "esc" || c == "0" && *field == "":
		s.at = p.back
	case c == "/" || c == "tab" || c == "up" || c == "down":
		p.field = 1 - p.field
	case c == "enter":
		if p.field == 0 {
			p.field = 1
			return nil
		}
		return p.send()
	case c == "backspace" || c == "-" && *field != "":
		if *field != "" {
			*field = (*field)[:len(*field)-1]
		}
	case c == "-" && p.field == 0:
		*field = "-"
	case len(c) == 1 && strings.Contains("0123456789.", c):
		if len(*field) >= airDigits {
			return screen.Say("No more digits fit there.")
		}
		*field += c
	}
	return nil
}

// send puts the reading to the line, or goes to the number that cannot be read.
func (p *airPage) send() tea.Cmd {
	var n [2]float64
	for i, text := range p.typed {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			p.field = i
			what := fmt.Sprintf("The %s %q cannot be read. Type a number, such as 22.5.", airNames[i], text)
			if text == "" {
				what = "Type the " + airNames[i] + " too."
			}
			return func() tea.Msg { return screen.SayMsg{Text: what, Refused: true} }
		}
		n[i] = v
	}
	return screen.Do(line.ReadAir{TempC: n[0], RHPercent: n[1]})
}

func (p *airPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.State.Site.Name+"   today's air", "", p.keys(s, env)).Inset(1, 0)
	y := body.Wrapped(theme.Text, "What do the thermometer and the hygrometer at the rack say?") + 1
	for i, unit := range []string{"°C", "% relative humidity"} {
		role, text := theme.Text, p.typed[i]
		if i == p.field {
			role, text = theme.Chosen, text+r.Theme().Glyphs.Cursor
		}
		row := body.Rows(y+i, 1)
		row.Put(2, 0, role, airNames[i])
		row.PutRight(24, 0, theme.Strong, text)
		row.Put(26, 0, theme.Faint, unit)
	}
	y += 3
	if a, ok := env.State.AirNow(env.Now); ok {
		y += body.Rows(y, body.H-y).Wrapped(theme.Faint, fmt.Sprintf("Read at %s: %s.", env.TimeOfDay(env.State.Air.At, ""), a))
	}
	body.Rows(y, body.H-y).Wrapped(theme.Faint, fmt.Sprintf(
		"From %d to %d °C, 0 to 100 %%; for zero type .0. It holds for today. Nothing changes before you accept a dry time.", air.MinTempC, air.MaxTempC))
}

// useAir accepts today's dry times, or goes back to the recipe's.
func useAir(env *screen.Env, crop string, on bool) tea.Cmd {
	if _, ok := env.State.AirNow(env.Now); !ok {
		return screen.Say("Nobody has read today's air. Type it first.")
	}
	return screen.Do(line.UseAir{Crop: crop, On: on})
}
