package pages

import (
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// The usual reasons, by the keys of their texts.
var (
	scrapReasons  = []string{"station.dropped", "station.spoiled", "station.contaminated", "station.bruised"}
	brokenReasons = []string{"station.does-not-run", "station.leaks", "station.part-broken", "station.to-clean"}
)

func itemName(env *screen.Env, it stationItem) string {
	if it.batch != nil {
		return it.batch.Shout()
	}
	return strings.ToUpper(env.Words.Chore(it.chore.Kind))
}

// askAgain asks before time that has run is thrown away.
func askAgain(env *screen.Env, it stationItem) *stationAsk {
	return &stationAsk{
		title: env.Words.Say("station.ask-again", itemName(env, it)),
		why:   env.Words.Say("station.not-counted", words.Clock(it.step().Ran(env.Now))),
		done:  func(int, string) (*stationAsk, tea.Cmd) { return nil, screen.Do(line.Restart{At: it.place}) },
	}
}

func askSplit(env *screen.Env, b *line.Batch) *stationAsk {
	return &stationAsk{
		title:  env.Words.Say("station.ask-split", b.Trays, b.Shout()),
		number: true,
		takes:  strconv.Itoa(b.Trays / 2),
		done: func(_ int, text string) (*stationAsk, tea.Cmd) {
			n, _ := strconv.Atoi(text)
			return nil, screen.Do(line.Split{Batch: b.ID, Trays: n})
		},
	}
}

// mostChoices is as many as digits can answer.
const mostChoices = 9

func askMerge(env *screen.Env, b *line.Batch, with []*line.Batch) *stationAsk {
	a := &stationAsk{title: env.Words.Say("station.ask-merge", b.Shout(), env.Words.Trays(b.Trays))}
	with = with[:min(len(with), mostChoices)]
	for _, o := range with {
		a.choices = append(a.choices, o.Shout()+", "+env.Words.Trays(o.Trays))
	}
	a.done = func(choice int, _ string) (*stationAsk, tea.Cmd) {
		return nil, screen.Do(line.Merge{From: b.ID, Into: with[choice-1].ID})
	}
	return a
}

// askReason asks why, with an answer in own words as the last choice. Title and why
// are said already; canned are the keys of the usual answers.
func askReason(env *screen.Env, title, why string, canned []string, do func(reason string) tea.Cmd) *stationAsk {
	a := &stationAsk{title: title, why: why}
	for _, key := range canned {
		a.choices = append(a.choices, env.Words.Say(key))
	}
	a.choices = append(a.choices, env.Words.Say("station.else"))
	a.done = func(choice int, _ string) (*stationAsk, tea.Cmd) {
		if choice <= len(canned) {
			return nil, do(a.choices[choice-1])
		}
		return &stationAsk{title: title, why: env.Words.Say("station.type-why"), words: true, done: func(_ int, text string) (*stationAsk, tea.Cmd) {
			if strings.TrimSpace(text) == "" {
				return nil, screen.Say(env.Words.Say("station.no-reason"))
			}
			return nil, do(strings.TrimSpace(text))
		}}, nil
	}
	return a
}

func askScrap(env *screen.Env, b *line.Batch) *stationAsk {
	return askReason(env, env.Words.Say("station.ask-scrap", b.Shout(), env.Words.Trays(b.Trays)), env.Words.Say("station.for-good"),
		scrapReasons,
		func(reason string) tea.Cmd { return screen.Do(line.Scrap{Batch: b.ID, Reason: reason}) })
}

// askBroken asks why a place goes out of use, or whether it is in order again.
func askBroken(env *screen.Env, p line.Place) *stationAsk {
	place := env.State.PlaceName(p)
	if env.State.IsBroken(p) {
		return &stationAsk{title: env.Words.Say("station.ask-mended", place), why: brokenSince(env, p),
			done: func(int, string) (*stationAsk, tea.Cmd) { return nil, screen.Do(line.MarkMended{At: p}) }}
	}
	return askReason(env, env.Words.Say("station.ask-broken", place), env.Words.Say("station.nothing-put"),
		brokenReasons,
		func(reason string) tea.Cmd { return screen.Do(line.MarkBroken{At: p, Why: reason}) })
}

// brokenSince says why a place is out of use, from the day's records.
func brokenSince(env *screen.Env, p line.Place) string {
	for i := len(env.History) - 1; i >= 0; i-- {
		if e, ok := env.History[i].Event.(line.SlotBroken); ok && e.At == p {
			return env.Words.Say("station.broken-since", env.Words.TimeOfDay(env.History[i].At, ""), e.Why)
		}
	}
	return ""
}
