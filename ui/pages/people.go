package pages

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// breakFor is how long a break is that one key begins: common practice, no source.
const breakFor = 15 * time.Minute

// People says who comes and goes, and when. A digit is a person, the next one what they
// do.
type People struct{ form *form.Form }

// NewPeople makes the screen.
func NewPeople() *People { return &People{} }

// Update answers a message. What was asked stays until the line has taken it.
func (s *People) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.form = nil
	case screen.ResultMsg:
		if _, set := msg.Command.(line.SetHours); set && msg.Refusal == nil {
			s.form = nil
			return screen.Leave
		}
	}
	return nil
}

// Actions are the form's.
func (s *People) Actions(env *screen.Env) act.Table {
	return s.asks(env).Fill(env, func() tea.Cmd { return screen.Leave }, func() tea.Cmd { return screen.Do(s.commands(env)...) })
}

// Draw draws the form.
func (s *People) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("people.title", env.State.Site.Name), "", s.Actions(env))
	s.asks(env).Draw(env, body)
}

// asks is the form as it stands: what can be asked depends on who was chosen.
func (s *People) asks(env *screen.Env) *form.Form {
	if s.form == nil {
		s.form = form.New(env, "", "people.why")
		s.form.Sends = "people.send"
	}
	s.form.SetRows(s.rows(env)...)
	return s.form
}

// known are those who can be chosen by a digit: the day's people, those of the line
// file, and a helper without a name.
func (s *People) known(env *screen.Env) (names, shown []string) {
	names = once(slices.Concat(env.State.Crew, env.State.Site.Crew))
	for _, name := range names {
		shown = append(shown, env.Words.Say("people.is", name, whereabouts(env, name)))
	}
	helper := env.State.NewHelper(env.Words.Say("people.helper"))
	return append(names, helper), append(shown, env.Words.Say("people.is", helper, env.Words.Say("people.not-here")))
}

// whereabouts says whether somebody is on the line, and when today.
func whereabouts(env *screen.Env, name string) string {
	w, s := env.Words, env.State
	hours := s.HoursOf(name)
	for i := range hours {
		hours[i].From, hours[i].To = local(env, hours[i].From), local(env, hours[i].To)
	}
	switch {
	case !slices.Contains(s.Crew, name):
		return w.Say("people.not-here")
	case slices.Contains(s.Here(env.Now), name):
		return w.Say("people.here", w.Hours(hours))
	case s.OnBreak(name, env.Now):
		return w.Say("people.break-until", w.TimeOfDay(s.BackAt(name, env.Now).In(env.Now.Location()), ""))
	}
	return w.Say("people.away", w.Hours(hours))
}

func local(env *screen.Env, at time.Time) time.Time {
	if at.IsZero() {
		return at
	}
	return at.In(env.Now.Location())
}

// who is who was chosen, or the first.
func (s *People) who(env *screen.Env) string {
	names, _ := s.known(env)
	if i, ok := s.form.Choice("who"); ok {
		return names[min(i, len(names)-1)]
	}
	if name := s.form.Text("who"); name != "" {
		return name
	}
	return names[0]
}

// moves are what somebody can do: first those of who is here, then of who is not.
var moves = []struct {
	text  string
	timed bool
}{
	{"people.leaves", false}, {"people.break", false}, {"people.break-to", true}, {"people.leaves-at", true}, {"people.stays", false},
	{"people.comes", false}, {"people.comes-at", true},
}

const firstComes = 5

// does is what the person who was chosen does, as an index of moves.
func (s *People) does(env *screen.Env) int {
	i := s.pick("does")
	if s.isHere(env) {
		return min(i, firstComes-1)
	}
	return min(firstComes+i, len(moves)-1)
}

// pick is what was chosen in a row, or the first.
func (s *People) pick(row string) int {
	if i, ok := s.form.Choice(row); ok {
		return i
	}
	return 0
}

func (s *People) isHere(env *screen.Env) bool {
	return slices.Contains(env.State.Here(env.Now), s.who(env))
}

func (s *People) rows(env *screen.Env) []form.Row {
	_, shown := s.known(env)
	list := moves[firstComes:]
	if s.isHere(env) {
		list = moves[:firstComes]
	}
	var does []string
	for _, m := range list {
		does = append(does, env.Words.Say(m.text, int(breakFor.Minutes())))
	}
	rows := []form.Row{
		{Name: "who", Label: "people.who", Kind: form.Choice, Choices: shown, Own: "people.by-name"},
		{Name: "does", Label: "people.does", Kind: form.Choice, Choices: does, Check: func(*form.Form) string { return s.refused(env) }},
		{Name: "at", Label: "people.at", Kind: form.TimeOfDay, When: func(*form.Form) bool { return moves[s.does(env)].timed },
			Check: func(f *form.Form) string { return s.refused(env) }},
	}
	if work := s.inHand(env); len(work) > 0 {
		rows = append(rows, form.Row{Name: "work", Label: env.Words.Say("people.whose", env.State.PlaceName(work[0])), Kind: form.Choice,
			Choices: append(s.others(env), env.Words.Say("people.put-down")), When: func(*form.Form) bool { return s.goesNow(env) }})
	}
	return rows
}

// goesNow says whether the person leaves the line at once.
func (s *People) goesNow(env *screen.Env) bool { return s.isHere(env) && s.does(env) < 3 }

func (s *People) inHand(env *screen.Env) []line.Place { return env.State.InHand(s.who(env)) }

// others are those who could go on with somebody's work.
func (s *People) others(env *screen.Env) []string {
	who := s.who(env)
	return slices.DeleteFunc(slices.Clone(env.State.Here(env.Now)), func(name string) bool { return name == who })
}

// refused is why the line would not take what the form says so far.
func (s *People) refused(env *screen.Env) string {
	if moves[s.does(env)].timed {
		if _, typed := s.form.TimeOfDay("at"); !typed {
			return ""
		}
	}
	state := env.State
	for _, c := range s.commands(env) {
		next, _, no := line.Do(state, c, env.Now, env.By)
		if no != nil {
			return env.Words.Refusal(no)
		}
		state = next
	}
	return ""
}

// commands say whose the work in hand is, and then when the person is here.
func (s *People) commands(env *screen.Env) []line.Command {
	var out []line.Command
	if s.goesNow(env) {
		others := s.others(env)
		i := s.pick("work")
		for _, at := range s.inHand(env) {
			if i < len(others) {
				out = append(out, line.GiveOver{At: at, To: others[i]})
			} else {
				out = append(out, line.Hold{At: at})
			}
		}
	}
	who, state := s.who(env), env.State
	at := env.Now
	if clock, ok := s.form.TimeOfDay("at"); ok {
		at = screen.Today(clock, env.Now)
	}
	switch moves[s.does(env)].text {
	case "people.leaves":
		return append(out, state.Goes(who, env.Now, time.Time{}))
	case "people.break":
		return append(out, state.Goes(who, env.Now, env.Now.Add(breakFor)))
	case "people.break-to":
		return append(out, state.Goes(who, env.Now, at))
	case "people.leaves-at":
		return append(out, state.Goes(who, at, time.Time{}))
	case "people.stays":
		return append(out, state.Stays(who))
	case "people.comes":
		at = env.Now
	}
	return append(out, state.Comes(who, at))
}
