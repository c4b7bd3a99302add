package pages

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

// people are those who are known, whoever is on the line first.
func people(s *line.State) []string {
	var out []string
	add := func(name string) {
		if !slices.ContainsFunc(out, func(o string) bool { return strings.EqualFold(o, name) }) {
			out = append(out, name)
		}
	}
	for _, list := range [][]string{s.Crew, s.Site.Crew} {
		for _, name := range list {
			add(name)
		}
	}
	for _, o := range s.SignOffs {
		add(o.Person)
		add(o.SignedBy)
	}
	return out
}

// oneOf asks for one of several answers, shown in their own way, or for one that is
// typed.
func oneOf(env *screen.Env, title, why string, names, shown []string, other string, done func(name string) (*stationAsk, tea.Cmd)) *stationAsk {
	w := env.Words
	n := min(len(names), mostChoices-1)
	a := &stationAsk{title: title, why: why, choices: append(slices.Clone(shown[:n]), other)}
	a.done = func(choice int, _ string) (*stationAsk, tea.Cmd) {
		if choice <= n {
			return done(names[choice-1])
		}
		typed := &stationAsk{title: title, why: w.Say("sign-off.type"), words: true}
		typed.done = func(_ int, text string) (*stationAsk, tea.Cmd) {
			if strings.TrimSpace(text) == "" {
				return nil, screen.Say(w.Say("sign-off.no-name"))
			}
			return done(strings.TrimSpace(text))
		}
		return typed, nil
	}
	return a
}

// askSignOff asks who may run a station alone and who answers for it. For somebody
// who may already, it asks why that ends.
func askSignOff(env *screen.Env, k line.Kind) *stationAsk {
	w := env.Words
	names := people(env.State)
	shown := make([]string, len(names))
	for i, name := range names {
		shown[i] = name
		if o, ok := env.State.SignedOff(name, k); ok {
			shown[i] = w.Say("sign-off.stands", name, o.SignedBy, w.Date(o.At, "2 Jan 2006"))
		}
	}
	return oneOf(env, w.Say("sign-off.who", w.Kind(k)), w.Say("sign-off.means"), names, shown, w.Say("sign-off.somebody"), func(name string) (*stationAsk, tea.Cmd) {
		if _, ok := env.State.SignedOff(name, k); ok {
			return askRevoke(env, name, k), nil
		}
		return askSigner(env, w.Say("sign-off.signer", name, w.Kind(k)), name, func(by string) line.Command {
			return line.SignOff{Person: name, Station: k, SignedBy: by}
		}), nil
	})
}

// askSigner asks who answers for it: anybody but the person.
func askSigner(env *screen.Env, title, person string, command func(by string) line.Command) *stationAsk {
	others := slices.DeleteFunc(people(env.State), func(o string) bool { return strings.EqualFold(o, person) })
	return oneOf(env, title, "", others, others, env.Words.Say("sign-off.somebody"), func(by string) (*stationAsk, tea.Cmd) { return nil, screen.Do(command(by)) })
}

func askRevoke(env *screen.Env, person string, k line.Kind) *stationAsk {
	w := env.Words
	title := w.Say("sign-off.revoke", person, w.Kind(k))
	canned := []string{w.Say("sign-off.long-ago"), w.Say("sign-off.near-miss"), w.Say("sign-off.changed")}
	signer := func(why string) *stationAsk {
		return askSigner(env, w.Say("sign-off.revoker"), person, func(by string) line.Command {
			return line.RevokeSignOff{Person: person, Station: k, SignedBy: by, Why: why}
		})
	}
	return oneOf(env, title, w.Say("sign-off.kept"), canned, canned, w.Say("sign-off.else"), func(why string) (*stationAsk, tea.Cmd) { return signer(why), nil })
}

// signedWords lists who may run a station alone.
func signedWords(env *screen.Env, k line.Kind) string {
	var out []string
	for _, o := range env.State.SignOffs {
		if o.Station == k {
			out = append(out, env.Words.Say("sign-off.by", o.Person, o.SignedBy))
		}
	}
	return strings.Join(out, ", ")
}
