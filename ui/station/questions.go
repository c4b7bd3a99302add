package station

import (
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

func name(it item) string {
	if it.batch != nil {
		return it.batch.Shout()
	}
	return strings.ToUpper(it.chore.Kind.String())
}

// askAgain asks before time that has run is thrown away.
func askAgain(env *screen.Env, it item) *ask {
	return &ask{
		title: "Start " + name(it) + " again from the beginning?",
		why:   words.Clock(it.step().Ran(env.Now)) + " that it has run are not counted.",
		done:  func(int, string) (*ask, tea.Cmd) { return nil, screen.Do(line.Restart{At: it.place}) },
	}
}

func askSplit(b *line.Batch) *ask {
	return &ask{
		title:  fmt.Sprintf("How many of the %d trays of %s go on by themselves?", b.Trays, b.Shout()),
		number: true,
		takes:  strconv.Itoa(b.Trays / 2),
		done: func(_ int, text string) (*ask, tea.Cmd) {
			n, _ := strconv.Atoi(text)
			return nil, screen.Do(line.Split{Batch: b.ID, Trays: n})
		},
	}
}

// mostChoices is as many as digits can answer.
const mostChoices = 9

func askMerge(b *line.Batch, with []*line.Batch) *ask {
	a := &ask{title: fmt.Sprintf("Put %s, %s, into which batch?", b.Shout(), words.Count(b.Trays, "tray", "trays"))}
	with = with[:min(len(with), mostChoices)]
	for _, o := range with {
		a.choices = append(a.choices, fmt.Sprintf("%s, %s", o.Shout(), words.Count(o.Trays, "tray", "trays")))
	}
	a.done = func(choice int, _ string) (*ask, tea.Cmd) {
		return nil, screen.Do(line.Merge{From: b.ID, Into: with[choice-1].ID})
	}
	return a
}

// reasons asks why, with an answer in own words as the last choice.
func reasons(title, why string, canned []string, do func(reason string) tea.Cmd) *ask {
	a := &ask{title: title, why: why, choices: append(append([]string(nil), canned...), "something else: type it")}
	a.done = func(choice int, _ string) (*ask, tea.Cmd) {
		if choice <= len(canned) {
			return nil, do(canned[choice-1])
		}
		return &ask{title: title, why: "Type why, then Enter.", words: true, done: func(_ int, text string) (*ask, tea.Cmd) {
			if strings.TrimSpace(text) == "" {
				return nil, screen.Say("Left as it was: no reason was given.")
			}
			return nil, do(strings.TrimSpace(text))
		}}, nil
	}
	return a
}

func askScrap(b *line.Batch) *ask {
	return reasons(fmt.Sprintf("Scrap %s, %s? Say why.", b.Shout(), words.Count(b.Trays, "tray", "trays")),
		"It leaves the line for good.",
		[]string{"dropped", "spoiled", "contaminated", "bruised"},
		func(reason string) tea.Cmd { return screen.Do(line.Scrap{Batch: b.ID, Reason: reason}) })
}

// askBroken asks why a place goes out of use, or whether it is in order again.
func askBroken(env *screen.Env, p line.Place) *ask {
	place := env.State.PlaceName(p)
	if env.State.IsBroken(p) {
		return &ask{title: "Is the " + place + " in order again?", why: brokenSince(env, p),
			done: func(int, string) (*ask, tea.Cmd) { return nil, screen.Do(line.MarkMended{At: p}) }}
	}
	return reasons("Take the "+place+" out of use? Say why.", "Nothing is put there until it is back in use.",
		[]string{"does not run", "leaks", "a part is broken", "has to be cleaned"},
		func(reason string) tea.Cmd { return screen.Do(line.MarkBroken{At: p, Why: reason}) })
}

// brokenSince says why a place is out of use, from the day's records.
func brokenSince(env *screen.Env, p line.Place) string {
	for i := len(env.History) - 1; i >= 0; i-- {
		if e, ok := env.History[i].Event.(line.SlotBroken); ok && e.At == p {
			return "Out of use since " + env.TimeOfDay(env.History[i].At, "") + ": " + e.Why
		}
	}
	return ""
}

// askPacked asks for packages and then for the weight; Enter takes what the recipe
// expects.
func askPacked(env *screen.Env, it item) *ask {
	r, _ := env.State.Recipe(it.batch.Crop)
	packages := 0
	if r.PackageG > 0 {
		packages = int(r.YieldG * float64(it.batch.Trays) / r.PackageG)
	}
	return &ask{
		title: name(it) + " is packed: how many packages?", number: true, takes: strconv.Itoa(packages),
		why: fmt.Sprintf("%s a package", words.Grams(r.PackageG)),
		done: func(_ int, text string) (*ask, tea.Cmd) {
			n, _ := strconv.Atoi(text)
			return askWeight(it, n, float64(n)*r.PackageG), nil
		},
	}
}

func askWeight(it item, packages int, grams float64) *ask {
	return &ask{
		title:  fmt.Sprintf("%s, %s: how many grams net?", name(it), words.Count(packages, "package", "packages")),
		number: true, takes: strconv.FormatFloat(grams, 'f', 0, 64),
		done: func(_ int, text string) (*ask, tea.Cmd) {
			g, _ := strconv.ParseFloat(text, 64)
			return nil, screen.Do(line.Finish{At: it.place, Packages: packages, NetG: g})
		},
	}
}
