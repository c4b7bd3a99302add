package app

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
)

// Fingers are wet and gloves are thick. What guards the keys goes by the clock on the
// wall, however fast the line's runs.
const (
	enterAgain = time.Second            // Enter after Enter is a doubled press
	keyAgain   = 300 * time.Millisecond // and so is any other key after itself
	freshFor   = 3 * time.Second        // nobody has read yet what Enter does since then
	tickWait   = time.Second            // between two ticks, at most
	stoodStill = time.Second            // longer than a tick: the terminal took nothing
	waitedFor  = 250 * time.Millisecond // what comes then was pressed while it stood
	idleFor    = 3 * time.Minute        // then a screen goes back to the board
	alarmFor   = 10 * time.Second       // the same while an alarm is not noted
)

// repeated are keys that people press quickly, or hold down.
var repeated = []string{"+", "=", "-", "up", "down", "left", "right", "pgup", "pgdown", "backspace", "ctrl+h", "delete", "tab", "shift+tab", "ctrl+c"}

// press is a key with the time on the wall at which it came.
type press struct {
	tea.KeyMsg
	at time.Time
}

// fingers is what the frame knows of the presses so far.
type fingers struct {
	key     string // pressed last
	at      time.Time
	stood   time.Time // until when the terminal stood still
	heard   time.Time // when something last came in
	enter   enter     // what Enter does
	before  enter     // and did before it changed by itself
	changed time.Time // when that was; zero: not since a key
}

// enter is what Enter does on a screen.
type enter struct {
	screen     screen.Name
	id         string
	says, keys string // in words, and other keys for the same
}

// noticeStanding finds out that the terminal took nothing for a while, so that what
// comes now may have been pressed at a picture that is no longer true.
func (m *Model) noticeStanding() {
	now, f := m.wall(), &m.fingers
	if !f.heard.IsZero() && now.Sub(f.heard) > tickWait+stoodStill {
		f.stood = now
	}
	f.heard = now
}

// guarded says why a press is not acted on; empty: it counts. typed is a character that
// goes into a form.
func (m *Model) guarded(p press, typed bool) string {
	f, key := &m.fingers, p.String()
	again := p.at.Sub(f.at)
	doubled := key == f.key && (key == "enter" && again < enterAgain || again < keyAgain && !typed && !slices.Contains(repeated, key))
	f.key, f.at = key, p.at
	switch {
	case key == "ctrl+c":
	case !f.stood.IsZero() && p.at.Sub(f.stood) < waitedFor:
		return m.words.Say("frame.waited")
	case doubled && key == "enter":
		return m.words.Say("frame.enter-twice")
	case doubled:
		return m.words.Say("frame.key-twice")
	}
	return ""
}

// ignore says at the foot why a press did nothing. What stands there stays, also where it
// asks something.
func (m *Model) ignore(why string) {
	if m.quiet.Text == "" {
		m.say(why, false)
	} else if m.ignored != m.quiet.Text {
		m.quiet.Text += " " + why
	}
	m.ignored = m.quiet.Text
}

// look takes note of what Enter does now. byItself says that no key has brought it
// about.
func (m *Model) look(byItself bool) {
	f, now := &m.fingers, m.enters()
	if now.id == f.enter.id && now.screen == f.enter.screen {
		f.enter = now
		return
	}
	if f.changed = (time.Time{}); byItself && f.enter.screen != "" && now.id != "" {
		f.before, f.changed = f.enter, m.wall()
	}
	f.enter = now
}

// enters is what Enter does on the active screen; in a form it only goes on.
func (m *Model) enters() enter {
	env := m.env()
	out := enter{screen: m.active}
	all := m.actions(env, m.active)
	if all.Closed() {
		return out
	}
	for i := range all {
		if a := &all[i]; slices.Contains(a.Keys(), "enter") {
			out.id, out.says = a.ID(), a.Label(m.words)
			break
		}
	}
	if s, ok := m.set[m.active].(interface {
		EnterSays(env *screen.Env) (says, keys string)
	}); ok && out.id != "" {
		out.says, out.keys = s.EnterSays(env)
	}
	return out
}

// fresh says that what Enter does has changed by itself, and nobody can have read it.
func (m *Model) fresh() bool {
	return !m.fingers.changed.IsZero() && m.wall().Sub(m.fingers.changed) < freshFor
}

// tellChange says what Enter does since it changed by itself; the next one does it.
func (m *Model) tellChange() {
	f := &m.fingers
	f.changed = time.Time{}
	if f.before.keys != "" && f.before.screen == m.active && f.before.says != f.enter.says {
		m.say(m.words.Say("frame.changed-keys", f.enter.says, f.before.keys, f.before.says), false)
		return
	}
	m.say(m.words.Say("frame.changed", f.enter.says), false)
}

// goBack leaves a screen that nobody has touched for long, so that the board is there
// when somebody looks up. What was typed keeps a form where it is.
func (m *Model) goBack() {
	wait := idleFor
	if a := m.shownAlarm(); a != nil && !a.Noted {
		wait = alarmFor
	}
	stays := m.active == screen.Board || m.active == screen.Recovery || m.active == screen.DayOver
	if stays || m.wall().Sub(m.touched) < wait || m.actions(m.env(), m.active).Keeps() {
		return
	}
	m.active = screen.Board
}
