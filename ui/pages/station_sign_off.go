package pages

import (
	"slices"
	"strings"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/form"
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

// askSignOff asks who may run a station alone and who answers for it. For somebody
// who may already, it asks why that ends.
func askSignOff(env *screen.Env, k line.Kind) *question {
	w := env.Words
	names := people(env.State)
	shown := make([]string, len(names))
	for i, name := range names {
		shown[i] = name
		if o, ok := env.State.SignedOff(name, k); ok {
			shown[i] = w.Say("sign-off.stands", name, o.SignedBy, w.Date(o.At, "2 Jan 2006"))
		}
	}
	person := func(f *form.Form) string {
		if i, ok := f.Choice("person"); ok {
			return names[i]
		}
		return f.Text("person")
	}
	may := func(f *form.Form) bool { _, ok := env.State.SignedOff(person(f), k); return ok }
	command := func(f *form.Form) line.Command {
		if may(f) {
			return line.RevokeSignOff{Person: person(f), Station: k, SignedBy: f.Text("signer"), Why: f.Text("why")}
		}
		return line.SignOff{Person: person(f), Station: k, SignedBy: f.Text("signer")}
	}
	return &question{form.New(env, w.Say("sign-off.title", w.Kind(k)), "sign-off.means",
		form.Row{Name: "person", Label: "sign-off.who", Kind: form.Choice, Choices: shown, Own: "sign-off.somebody"},
		form.Row{Name: "why", Label: "sign-off.revoke", Kind: form.Choice, Own: "sign-off.else", When: may, Note: "sign-off.kept",
			Choices: []string{"sign-off.long-ago", "sign-off.near-miss", "sign-off.changed"}},
		form.Row{Name: "signer", Label: "sign-off.signer", Kind: form.Choice, Choices: names, Own: "sign-off.somebody",
			Check: func(f *form.Form) string { return act.Refused(&env.Context, command(f)) }}), command}
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
