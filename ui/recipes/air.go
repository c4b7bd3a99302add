package recipeui

import (
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes"
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

var airKeys = [2]string{"recipes.temperature", "recipes.humidity"}

func (s *Screen) askAir(*screen.Env) tea.Cmd {
	s.at = &airPage{back: s.at}
	return nil
}

func (p *airPage) typing() bool { return true }

func (p *airPage) keys(*Screen, *screen.Env) []screen.Binding {
	enter := screen.Bind("Enter", "does.next", "enter")
	if p.field == 1 {
		enter = screen.Bind("Enter", "does.confirm", "enter")
	}
	erase := screen.Bind("-", "recipes-does.below-zero", "-")
	if p.typed[p.field] != "" {
		erase = screen.Bind("-", "does.erase", "-", "backspace")
	}
	return []screen.Binding{screen.Bind("0-9 .", "does.type", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "."), enter, erase,
		screen.Bind("/", "recipes-does.other-number", "/", "tab", "up", "down"), screen.Bind("0", "does.back-when-empty", "esc"), keyHelp}
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
		return p.send(env)
	case c == "backspace" || c == "-" && *field != "":
		if *field != "" {
			*field = (*field)[:len(*field)-1]
		}
	case c == "-" && p.field == 0:
		*field = "-"
	case len(c) == 1 && strings.Contains("0123456789.", c):
		if len(*field) >= airDigits {
			return screen.Say(env.Words.Say("recipes.no-digits"))
		}
		*field += c
	}
	return nil
}

// send puts the reading to the line, or goes to the number that cannot be read.
func (p *airPage) send(env *screen.Env) tea.Cmd {
	var n [2]float64
	for i, text := range p.typed {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			p.field = i
			name := env.Words.Say(airKeys[i])
			what := env.Words.Say("recipes.bad-number", name, text)
			if text == "" {
				what = env.Words.Say("recipes.type-too", name)
			}
			return func() tea.Msg { return screen.SayMsg{Text: what, Refused: true} }
		}
		n[i] = v
	}
	return screen.Do(line.ReadAir{TempC: n[0], RHPercent: n[1]})
}

func (p *airPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("recipes.title-air", env.State.Site.Name), "", p.keys(s, env)).Inset(1, 0)
	y := body.Wrapped(theme.Text, env.Words.Say("recipes.air-asks")) + 1
	for i, unit := range []string{"°C", "% " + env.Words.Say("recipes.relative-humidity")} {
		role, text := theme.Text, p.typed[i]
		if i == p.field {
			role, text = theme.Chosen, text+r.Theme().Glyphs.Cursor
		}
		row := body.Rows(y+i, 1)
		row.Put(2, 0, role, env.Words.Say(airKeys[i]))
		row.PutRight(24, 0, theme.Strong, text)
		row.Put(26, 0, theme.Faint, unit)
	}
	y += 3
	if a, ok := env.State.AirNow(env.Now); ok {
		y += body.Rows(y, body.H-y).Wrapped(theme.Faint, env.Words.Say("recipes.air-is", env.Words.TimeOfDay(env.State.Air.At, ""), env.Words.Air(a)))
	}
	body.Rows(y, body.H-y).Wrapped(theme.Faint, env.Words.Say("recipes.air-bounds", recipes.MinAirC, recipes.MaxAirC))
}

// useAir accepts today's dry times, or goes back to the recipe's.
func useAir(env *screen.Env, crop string, on bool) tea.Cmd {
	if _, ok := env.State.AirNow(env.Now); !ok {
		return screen.Say(env.Words.Say("recipes.type-air-first"))
	}
	return screen.Do(line.UseAir{Crop: crop, On: on})
}
