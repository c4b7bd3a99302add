package pages

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// question is a form in place of the details, and what it sends.
type question struct {
	form  *form.Form
	sends func(f *form.Form) line.Command
}

// actions are the keys while the question is open. It stays until the line has taken
// the answer.
func (q *question) actions(env *screen.Env, s *Station) act.Table {
	leave := func() tea.Cmd { s.asks = nil; return nil }
	return q.form.Fill(env, leave, func() tea.Cmd { return act.Do(q.sends(q.form)) })
}

// The usual reasons, by the keys of their texts.
var (
	scrapReasons  = []string{"station.dropped", "station.spoiled", "station.contaminated", "station.bruised"}
	brokenReasons = []string{"station.does-not-run", "station.leaks", "station.part-broken", "station.to-clean"}
)

func itemName(env *screen.Env, it stationItem) string {
	if it.batch != nil {
		return env.Words.Caps(it.batch)
	}
	return strings.ToUpper(env.Words.Chore(it.chore.Kind))
}

// answer is the name of the row of a question that has only one.
const answer = "answer"

// confirm asks before something that is sent as it is.
func confirm(env *screen.Env, title, why string, c line.Command) *question {
	return &question{form.Confirm(env, title, why), func(*form.Form) line.Command { return c }}
}

// askAgain asks before time that has run is thrown away.
func askAgain(env *screen.Env, it stationItem) *question {
	return confirm(env, env.Words.Say("station.ask-again", itemName(env, it)),
		env.Words.Say("station.not-counted", words.Clock(it.step().Ran(env.Now))), line.Restart{At: it.place})
}

func askSplit(env *screen.Env, b *line.Batch) *question {
	split := func(f *form.Form) line.Command { return line.Split{Batch: b.ID, Trays: f.Int(answer)} }
	row := form.Row{Name: answer, Label: "station.go-on", Kind: form.Whole, Unit: "station.trays", Default: form.Num(float64(b.Trays / 2)),
		Check: func(f *form.Form) string { return act.Refused(&env.Context, split(f)) }}
	return &question{form.Ask(env, env.Words.Say("station.ask-split", b.Trays, env.Words.Caps(b)), "", row), split}
}

func askMerge(env *screen.Env, b *line.Batch, with []*line.Batch) *question {
	row := form.Row{Name: answer, Label: "station.into", Kind: form.Choice}
	for _, o := range with {
		row.Choices = append(row.Choices, env.Words.Caps(o)+", "+env.Words.Trays(o.Trays))
	}
	return &question{form.Ask(env, env.Words.Say("station.ask-merge", env.Words.Caps(b), env.Words.Trays(b.Trays)), "", row), func(f *form.Form) line.Command {
		i, _ := f.Choice(answer)
		return line.Merge{From: b.ID, Into: with[i].ID}
	}}
}

// whyRow asks for one of the usual reasons, or for another one.
func whyRow(usual []string) form.Row {
	return form.Row{Name: answer, Label: "station.why", Kind: form.Choice, Choices: usual, Own: "station.else"}
}

func askScrap(env *screen.Env, b *line.Batch) *question {
	return &question{form.Ask(env, env.Words.Say("station.ask-scrap", env.Words.Caps(b), env.Words.Trays(b.Trays)), "station.for-good", whyRow(scrapReasons)),
		func(f *form.Form) line.Command { return line.Scrap{Batch: b.ID, Reason: f.Text(answer)} }}
}

// askBroken asks why a place goes out of use, or whether it is in order again.
func askBroken(env *screen.Env, p line.Place) *question {
	place := env.Words.Place(env.State, p)
	if env.State.IsBroken(p) {
		return confirm(env, env.Words.Say("station.ask-mended", place), brokenSince(env, p), line.MarkMended{At: p})
	}
	return &question{form.Ask(env, env.Words.Say("station.ask-broken", place), "station.nothing-put", whyRow(brokenReasons)),
		func(f *form.Form) line.Command { return line.MarkBroken{At: p, Why: f.Text(answer)} }}
}

// askPacked asks what a batch was packed into. It opens as it was left, if it was.
func (s *Station) askPacked(env *screen.Env, b *line.Batch) *question {
	if s.packing == nil || s.packed != b.ID {
		s.packing, s.packed = form.Packed(env, b), b.ID
	}
	at := b.Step.Place
	return &question{s.packing, func(f *form.Form) line.Command { return form.FinishPacking(f, at) }}
}

// brokenSince says why a place is out of use, from the backlog.
func brokenSince(env *screen.Env, p line.Place) string {
	t, _ := env.State.OutOfUse(p)
	if t.What == "" {
		return ""
	}
	return env.Words.Say("station.broken-since", env.Words.TimeOfDay(t.Since, ""), t.What)
}
