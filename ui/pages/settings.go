package pages

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/say"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// settingRow is one choice. Its number changes it to the next value.
type settingRow struct {
	name  string // the key of its text
	value func(w *words.Speaker, p *screen.Prefs) string
	next  func(p *screen.Prefs, by int)
}

// either says one of two texts.
func either(off, on string, is func(p *screen.Prefs) bool) func(*words.Speaker, *screen.Prefs) string {
	return func(w *words.Speaker, p *screen.Prefs) string {
		if is(p) {
			return w.Say(on)
		}
		return w.Say(off)
	}
}

// around gives the neighbour of a value in a list that goes round.
func around[T comparable](all []T, now T, by int) T {
	i := slices.Index(all, now)
	return all[((i+by)%len(all)+len(all))%len(all)]
}

func toggle(on *bool) { *on = !*on }

// quietStep is how far one press moves an end of the quiet hours.
const quietStep = 30 * time.Minute

func movedTime(at time.Duration, by int) time.Duration {
	const day = 24 * time.Hour
	return ((at+time.Duration(by)*quietStep)%day + day) % day
}

func hour(d time.Duration) string {
	return fmt.Sprintf("%02d:%02d", int(d.Hours()), int(d.Minutes())%60)
}

var settingRows = []settingRow{
	{"settings.theme", func(w *words.Speaker, p *screen.Prefs) string { return w.Say("theme." + string(p.Theme)) },
		func(p *screen.Prefs, by int) { p.Theme = around(theme.Names(), p.Theme, by) }},
	{"settings.language", func(w *words.Speaker, p *screen.Prefs) string { return w.Say("language." + p.Language) },
		func(p *screen.Prefs, by int) { p.Language = around(say.Languages(), p.Language, by) }},
	{"settings.clock", either("settings.clock-24", "settings.clock-12", func(p *screen.Prefs) bool { return p.TwelveHour }),
		func(p *screen.Prefs, _ int) { toggle(&p.TwelveHour) }},
	{"settings.units", either("settings.metric", "settings.us", func(p *screen.Prefs) bool { return p.US }),
		func(p *screen.Prefs, _ int) { toggle(&p.US) }},
	{"settings.trainee", either("does.no", "does.yes", func(p *screen.Prefs) bool { return p.Trainee }),
		func(p *screen.Prefs, _ int) { toggle(&p.Trainee) }},
	{"settings.mute", either("does.no", "does.yes", func(p *screen.Prefs) bool { return p.Mute }),
		func(p *screen.Prefs, _ int) { toggle(&p.Mute) }},
	{"settings.silent-from", func(_ *words.Speaker, p *screen.Prefs) string { return hour(p.QuietFrom) },
		func(p *screen.Prefs, by int) { p.QuietFrom = movedTime(p.QuietFrom, by) }},
	{"settings.silent-until", func(w *words.Speaker, p *screen.Prefs) string {
		if p.QuietFrom == p.QuietTo {
			return w.Say("settings.never-silent", hour(p.QuietTo))
		}
		return hour(p.QuietTo)
	}, func(p *screen.Prefs, by int) { p.QuietTo = movedTime(p.QuietTo, by) }},
	{"settings.notify", either("does.no", "does.yes", func(p *screen.Prefs) bool { return p.Notify }),
		func(p *screen.Prefs, _ int) { toggle(&p.Notify) }},
}

// Settings is the screen for the user's choices: how things are written, seen and
// heard.
type Settings struct{ marked int }

// NewSettings makes the screen.
func NewSettings() *Settings { return &Settings{} }

var (
	keySettingsPick = screen.Bind("1-9", "does.change", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keySettingsNext = screen.Bind("Enter", "settings.next-line", "enter", "down", "j")
	keySettingsPrev = screen.Bind("up", "settings.line-above", "up", "k")
	keySettingsMore = screen.Bind("+ -", "settings.change-marked", "+", "=", "right")
	keySettingsLess = screen.Bind("-", "settings.change-back", "-", "left")
	keySettingsExit = screen.Bind("0", "does.back", "0", "esc")
	keySettingsHelp = screen.Bind("?", "does.help", "?")
)

// Typing says that no field takes letters and digits here.
func (s *Settings) Typing() bool { return false }

// Keys lists what can be pressed.
func (s *Settings) Keys(*screen.Env) []screen.Binding {
	return []screen.Binding{keySettingsPick, keySettingsNext, keySettingsPrev, keySettingsMore}
}

// Update answers a message.
func (s *Settings) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	switch {
	case key.Matches(k, keySettingsPick.Binding):
		if n := int(k.Runes[0] - '1'); n < len(settingRows) {
			s.marked = n
			return s.change(env, 1)
		}
	case key.Matches(k, keySettingsNext.Binding):
		s.marked = (s.marked + 1) % len(settingRows)
	case key.Matches(k, keySettingsPrev.Binding):
		s.marked = (s.marked + len(settingRows) - 1) % len(settingRows)
	case key.Matches(k, keySettingsMore.Binding):
		return s.change(env, 1)
	case key.Matches(k, keySettingsLess.Binding):
		return s.change(env, -1)
	}
	return nil
}

func (s *Settings) change(env *screen.Env, by int) tea.Cmd {
	p := env.Prefs
	settingRows[s.marked].next(&p, by)
	return func() tea.Msg { return screen.PrefsMsg{Prefs: p} }
}

// Draw draws the list.
func (s *Settings) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("settings.title", env.State.Site.Name), "", s.Keys(env), keySettingsExit, keySettingsHelp)
	step := 1
	if body.H >= 2*len(settingRows)+3 {
		step = 2
	}
	nameW := 0
	for _, row := range settingRows {
		nameW = max(nameW, canvas.Width(env.Words.Say(row.name)))
	}
	for i, row := range settingRows {
		role, mark := theme.Text, " "
		if i == s.marked {
			role, mark = theme.Chosen, r.Theme().Glyphs.Arrow
		}
		y := i*step + step - 1
		body.Put(1, y, theme.Strong, mark)
		body.Put(3, y, theme.Strong, fmt.Sprint(i+1))
		body.Put(5, y, role, env.Words.Say(row.name))
		body.Put(5+nameW+2, y, theme.Strong, row.value(env.Words, &env.Prefs))
	}
	sound := env.Words.Say("settings.no-sound")
	if len(env.Prefs.Sound) > 0 {
		sound = env.Words.Say("settings.sound", strings.Join(env.Prefs.Sound, " "))
	}
	body.Put(5, len(settingRows)*step+step-1, theme.Faint, sound)
}
