package app

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Pace sets how fast the line's clock runs; 0 stands still.
type Pace func(speed float64)

// selfPlay is a day that invented people work on the board, so that whoever watches sees
// what it does. Its zero value: nobody plays.
type selfPlay struct {
	pace     float64           // how fast they play
	players  *rehearse.Players // nil: the person at the keys has the line
	offered  bool              // this is a demonstration
	paused   bool              // the clock stands
	taken    bool              // by a key just now: the clock stands until the next one
	captions captions
	tried    time.Time // when somebody last tried what the interlock refuses
	refused  int       // how often they have
}

// The speeds that + and - go through.
var paces = []float64{1, 2, 5, 10, 20, 40, 60, 120}

// Somebody tries to start the tray wash beside other machines, so that a refusal is seen
// and explained: early, and once again.
const (
	mistakesShown = 2
	betweenTries  = 25 * time.Minute // on the line's clock
)

func (m *Model) beginSelfPlay() {
	if !m.play.offered {
		m.play.offered, m.play.pace = true, m.opt.Speed
	}
	m.play.players = rehearse.NewPlayers(m.line.State(), m.line.Now(), rehearse.Options{Seed: 1, Delays: rehearse.Typical})
	m.now = m.line.Now() // the first second has not come yet
	m.say(m.words.Say("selfplay.begun"), false)
}

// playOn has the players do what they do by now.
func (m *Model) playOn() {
	p := &m.play
	if p.players == nil || p.paused || m.waiting != 0 {
		return
	}
	s := m.line.State()
	if s.Sheet == nil {
		return
	}
	if s.DayDone() {
		m.line.DoFor("", line.CloseDay{})
		p.players = nil // what comes is for whoever watched
		return
	}
	p.players.Act(s, m.forecast.Advice, m.line.Now(), m.played)
	m.tryWhatIsRefused()
}

// worker is the name of a player, empty where the day has none.
func worker(s *line.State, i int) string {
	if i < len(s.Crew) {
		return s.Crew[i]
	}
	return ""
}

// played puts to the line what a player does, and says what that shows.
func (m *Model) played(c line.Command, who int) (*line.State, *line.Refusal) {
	before := m.line.State()
	after, records, no := m.line.DoFor(worker(before, who), c)
	if no != nil {
		return after, no
	}
	for _, r := range records {
		if text := m.play.captions.of(m.words, before, r); text != "" {
			m.say(text, false)
		}
		before = line.Apply(before, r)
	}
	return after, nil
}

// tryWhatIsRefused lets somebody without work reach for the pressure washer too early.
func (m *Model) tryWhatIsRefused() {
	p, s, now := &m.play, m.line.State(), m.line.Now()
	if p.refused >= mistakesShown || now.Sub(p.tried) < betweenTries || s.Trays.Dirty == 0 || p.players.Idle() < 0 {
		return
	}
	wash := line.StartChore{Kind: line.WashTrays, To: line.Anywhere}
	if _, no := line.Decide(s, wash, now); no == nil || no.Verdict == nil {
		return
	}
	who := worker(s, p.players.Idle())
	_, _, no := m.line.DoFor(who, wash)
	p.tried, p.refused = now, p.refused+1
	m.say(m.words.Say("selfplay.refused", who)+" "+m.words.Refusal(no), true)
}

// playKeys are the keys that a day which plays by itself has before any screen's.
func (m *Model) playKeys() act.Table {
	p := &m.play
	switch {
	case !p.offered:
		return nil
	case p.taken:
		return act.Table{act.Key("Enter", "does.play-on", "enter", " ").Do(m.handBack), keyQuit}
	case p.players == nil:
		return act.Table{act.Key("g", "does.play-on", "g", "G").Do(m.handBack)}
	}
	faster := act.Key("+ -", "does.speed", "+", "=").Run(func() tea.Cmd { return m.quicken(1) })
	slower := act.Key("-", "does.speed", "-").Run(func() tea.Cmd { return m.quicken(-1) }).Hidden()
	pause := act.Key(".", "does.pause", ".").Run(func() tea.Cmd { return m.pause(!p.paused) })
	return act.Table{faster, slower, pause, keyQuit, act.Others("any key", "does.take-over").Do(m.takeOver).Hidden()}
}

// takeOver gives the line to the person at the keys, at the moment that is shown: the
// clock stands until the next key.
func (m *Model) takeOver() {
	m.play.players, m.play.taken = nil, true
	m.opt.Pace(0)
	m.say(m.words.Say("selfplay.yours"), false)
}

// begun lets the clock run once the person who has taken over goes to work.
func (m *Model) begun() {
	m.play.taken = false
	m.setPace(m.opt.OwnPace)
}

// handBack lets the players go on from where the line is.
func (m *Model) handBack() {
	m.active, m.focus = screen.Board, screen.Focus{}
	m.play.paused, m.play.taken = false, false
	m.setPace(m.play.pace)
	m.beginSelfPlay()
}

// quicken goes to the next faster or slower pace.
func (m *Model) quicken(by int) tea.Cmd {
	next := m.opt.Speed
	for i := range paces {
		if by < 0 {
			i = len(paces) - 1 - i
		}
		if float64(by)*(paces[i]-m.opt.Speed) > 0 {
			next = paces[i]
			break
		}
	}
	if next == m.opt.Speed {
		return act.NotHere(&m.env().Context, "why.no-faster")
	}
	m.play.pace = next
	m.setPace(next)
	return screen.Say(m.words.Say("selfplay.pace", int(next)))
}

func (m *Model) pause(on bool) tea.Cmd {
	m.play.paused = on
	if on {
		m.opt.Pace(0)
		return screen.Say(m.words.Say("selfplay.paused"))
	}
	m.setPace(m.opt.Speed)
	return screen.Say(m.words.Say("selfplay.goes-on"))
}

func (m *Model) setPace(speed float64) {
	m.opt.Speed = speed
	m.opt.Pace(speed)
}

// captions explain what has just happened, each thing once.
type captions struct{ told map[string]bool }

func (c *captions) of(w *words.Speaker, s *line.State, r line.Record) string {
	text := w.Event(s, r)
	kind := ""
	switch e := r.Event.(type) {
	case line.StepStarted:
		kind = s.Site.Stations[e.At.Station].Kind.String()
	case line.ChoreStarted:
		kind = s.Site.Stations[e.At.Station].Kind.String()
	case line.BatchCooled:
		kind = line.Chill.String()
	case line.StepFinished:
		if s.Site.Stations[s.Batch(e.Batch).Step.Place.Station].Kind == line.Spin {
			kind = "spun"
		}
	}
	if kind == "" || c.told[kind] {
		return text
	}
	if c.told == nil {
		c.told = map[string]bool{}
	}
	c.told[kind] = true
	return strings.TrimSuffix(text, ".") + ". " + w.Say("caption."+strings.ReplaceAll(kind, " ", "-"))
}

// drawPlay says at the foot who works the line, and with which keys to take it.
func (m *Model) drawPlay(env *screen.Env, r canvas.Region) {
	p := &m.play
	if !p.offered || p.players == nil && !p.taken {
		return
	}
	text := m.words.Say("selfplay.row", int(m.opt.Speed))
	switch {
	case p.taken:
		text = m.words.Say("selfplay.row-yours")
	case p.paused:
		text = m.words.Say("selfplay.row-paused")
	}
	row := r.Rows(r.H-1, 1)
	row.Fill(theme.Text, " ")
	x := 1 + row.Put(1, 0, theme.Action, text) + 3
	row.Put(x, 0, theme.Faint, m.playKeys().Foot(&env.Context, max(row.W-x-1, 0)))
}
