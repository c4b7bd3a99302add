package pages

import (
	"reflect"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Settings is the screen for the user's choices: how things are written, seen and
// heard. Each counts as soon as it is made.
type Settings struct {
	form *form.Form
	half bool // its times have 12 hours
}

// NewSettings makes the screen.
func NewSettings() *Settings { return &Settings{} }

// texts are the keys of what can be chosen, by its names.
func texts[T ~string](table string, names []T) (out []string) {
	for _, name := range names {
		out = append(out, table+"."+string(name))
	}
	return out
}

// second is the choice of the second of two where something is so.
func second(is bool) form.Value { return form.Flag(!is) }

// settingRows have the key of their label as their name.
func settingRows(p *screen.Prefs) []form.Row {
	choice := func(name string, now form.Value, choices ...string) form.Row {
		return form.Row{Name: name, Label: name, Kind: form.Choice, Choices: choices, Filled: now}
	}
	yes := func(name string, now bool) form.Row {
		return form.Row{Name: name, Label: name, Kind: form.YesNo, Filled: form.Flag(now)}
	}
	return []form.Row{
		choice("settings.theme", form.Num(float64(slices.Index(theme.Names(), p.Theme))), texts("theme", theme.Names())...),
		choice("settings.language", form.Num(float64(slices.Index(say.Languages(), p.Language))), texts("language", say.Languages())...),
		choice("settings.clock", second(p.TwelveHour), "settings.clock-24", "settings.clock-12"),
		choice("settings.units", second(p.US), "settings.metric", "settings.us"),
		yes("settings.trainee", p.Trainee),
		yes("settings.mute", p.Mute),
		{Name: "settings.silent-from", Label: "settings.silent-from", Kind: form.TimeOfDay, Filled: form.Span(p.QuietFrom)},
		{Name: "settings.silent-until", Label: "settings.silent-until", Kind: form.TimeOfDay, Filled: form.Span(p.QuietTo), Note: "settings.never-silent"},
		yes("settings.notify", p.Notify),
	}
}

// chosen is what the form says, as far as it can be read.
func (s *Settings) chosen(p screen.Prefs) screen.Prefs {
	f := s.form
	if i, ok := f.Choice("settings.theme"); ok {
		p.Theme = theme.Names()[i]
	}
	if i, ok := f.Choice("settings.language"); ok {
		p.Language = say.Languages()[i]
	}
	half, _ := f.Choice("settings.clock")
	us, _ := f.Choice("settings.units")
	p.TwelveHour, p.US = half == 1, us == 1
	p.Trainee, p.Mute, p.Notify = f.Bool("settings.trainee"), f.Bool("settings.mute"), f.Bool("settings.notify")
	if at, ok := f.TimeOfDay("settings.silent-from"); ok {
		p.QuietFrom = at
	}
	if at, ok := f.TimeOfDay("settings.silent-until"); ok {
		p.QuietTo = at
	}
	return p
}

// ready makes the form, and another one where its times are to be written in another
// way.
func (s *Settings) ready(env *screen.Env) *form.Form {
	if s.form == nil || s.half != env.Prefs.TwelveHour {
		at := ""
		if s.form != nil {
			at = s.form.At()
		}
		s.form, s.half = form.New(env, "", "", settingRows(&env.Prefs)...), env.Prefs.TwelveHour
		s.form.Go(at)
	}
	return s.form
}

// Actions are the form's. Every answer is taken over at once, but a time only when it is
// all typed.
func (s *Settings) Actions(env *screen.Env) act.Table {
	return s.ready(env).Actions(env, func(out form.Outcome) tea.Cmd {
		p := s.chosen(env.Prefs)
		if at := s.form.At(); out == form.Changed && at == "settings.silent-from" {
			p.QuietFrom = env.Prefs.QuietFrom
		} else if out == form.Changed && at == "settings.silent-until" {
			p.QuietTo = env.Prefs.QuietTo
		}
		var change, leave tea.Cmd
		if !reflect.DeepEqual(p, env.Prefs) {
			change = func() tea.Msg { return screen.PrefsMsg{Prefs: p} }
		}
		if out == form.Left || out == form.Sent {
			leave = screen.Leave
		}
		return tea.Batch(change, leave)
	})
}

// Update answers a message.
func (s *Settings) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	if _, ok := msg.(screen.OpenMsg); ok {
		s.form = nil
	}
	return nil
}

// Draw draws the choices, and below them what makes a sound.
func (s *Settings) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("settings.title", env.State.Site.Name), "", s.Actions(env))
	sound := env.Words.Say("settings.no-sound")
	if len(env.Prefs.Sound) > 0 {
		sound = env.Words.Say("settings.sound", strings.Join(env.Prefs.Sound, " "))
	}
	rows := len(canvas.Wrap(sound, body.W-3))
	y := s.form.Draw(env, body.Rows(0, max(body.H-rows, 1)))
	body.Rows(min(y+1, body.H-rows), rows).Inset(2, 0).Wrapped(theme.Faint, sound)
}
