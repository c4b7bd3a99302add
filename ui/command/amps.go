package command

import (
	"io"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/ui/words"
)

type ampsCmd struct {
	On    []string      `sep:"none" placeholder:"LOADS"`
	Start string        `required:"" placeholder:"LOAD"`
	OnFor time.Duration `default:"10m" placeholder:"TIME"`
	For   time.Duration `placeholder:"TIME"`
	JSON  bool          `name:"json"`
}

const (
	longestOn = 48 * time.Hour
	between   = time.Minute // what is on was started one after the other, so far apart
)

func (c *ampsCmd) Run(a *app) error {
	in := a.readLine().learnedLimits(a)
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	p := &in.site.Panel
	now := second(a.env.Now())
	state, ask, err := c.question(p, now)
	if err != nil {
		return err
	}
	v := p.Judge(state, ask, now)
	if c.JSON {
		err = writeJSON(a.env.Stdout, verdictObject(p, ask, &v))
	} else {
		_, err = io.WriteString(a.env.Stdout, verdictText(a.words, p, ask, &v))
	}
	if err == nil && !v.Allowed {
		err = &exitError{code: ExitRefused}
	}
	return err
}

// question turns the words into a state of the wiring and an ask.
func (c *ampsCmd) question(p *power.Panel, now time.Time) (power.State, power.Ask, error) {
	s := power.NewState(p)
	for _, t := range []struct {
		flag string
		d    time.Duration
	}{{"--on-for", c.OnFor}, {"--for", c.For}} {
		if t.d < 0 || t.d > longestOn {
			return s, power.Ask{}, say.Error("cmd.range", t.flag, t.d.String(), say.New("cmd.from-to", "0s", "48h"))
		}
	}
	on, err := parseLoads(p, strings.Join(c.On, ","))
	if err != nil {
		return s, power.Ask{}, say.Error("cmd.flag", "--on", err)
	}
	for i, ls := range on {
		since := now.Add(-c.OnFor - between*time.Duration(len(on)-1-i))
		s = s.Switched(p, ls.load, power.Status{On: true, Setting: ls.setting, Since: since}, since)
	}
	start, err := parseLoad(p, c.Start)
	if err != nil {
		return s, power.Ask{}, say.Error("cmd.flag", "--start", err)
	}
	return s, power.Ask{Load: start.load, Setting: start.setting, For: c.For}, nil
}

// parseLoads reads what is on. A load without amps is no answer to build on.
func parseLoads(p *power.Panel, words string) ([]loadSetting, error) {
	var out []loadSetting
	seen := map[int]bool{}
	for _, word := range strings.Split(words, ",") {
		if strings.TrimSpace(word) == "" {
			continue
		}
		ls, err := parseLoad(p, word)
		if err != nil {
			return nil, err
		}
		l := &p.Loads[ls.load]
		if seen[ls.load] {
			return nil, say.Error("cmd-load.twice", l.Name)
		}
		if l.Settings[ls.setting].AmpsA <= 0 {
			return nil, say.Error("cmd-load.no-amps", l.Name)
		}
		seen[ls.load] = true
		out = append(out, ls)
	}
	return out, nil
}

// verdictJSON is what `amps --json` prints. Scripts rely on its keys: they are
// never renamed, and new ones may be added.
type verdictJSON struct {
	Allowed   bool         `json:"allowed"`
	Load      string       `json:"load"`
	Setting   string       `json:"setting"`
	Circuit   string       `json:"circuit"`
	AmpsNow   float64      `json:"amps_now"`
	AmpsAfter float64      `json:"amps_after"`
	LimitA    float64      `json:"limit_a"`
	Reasons   []reasonJSON `json:"reasons"`
	SwitchOff []string     `json:"switch_off"`
	Earliest  *time.Time   `json:"earliest"` // RFC 3339; null: not by itself
	Confirm   []string     `json:"confirm"`  // loads to confirm off by then
	MarginA   float64      `json:"margin_a"`
	MarginS   *float64     `json:"margin_s"`  // null: there is nothing to trip on
	TripInS   *float64     `json:"trip_in_s"` // null: it would not trip
	Leg       string       `json:"leg,omitempty"`
}

type reasonJSON struct {
	Rule   string `json:"rule"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

func verdictObject(p *power.Panel, q power.Ask, v *power.Verdict) verdictJSON {
	l := &p.Loads[q.Load]
	out := verdictJSON{Allowed: v.Allowed, Load: l.Name, Setting: l.Settings[q.Setting].Name, Circuit: v.Circuit,
		AmpsNow: rounded(v.AmpsNow), AmpsAfter: rounded(v.AmpsAfter), LimitA: rounded(v.LimitA),
		Reasons: []reasonJSON{}, SwitchOff: loadNames(p, v.SwitchOff), Confirm: loadNames(p, v.Confirm),
		MarginA: rounded(v.MarginA)}
	for _, r := range v.Reasons {
		out.Reasons = append(out.Reasons, reasonJSON{r.Rule, r.Says.String(), r.Source.String()})
	}
	if !v.Earliest.IsZero() {
		at := second(v.Earliest.Add(time.Second - 1)) // a part of a second too late, not too early
		out.Earliest = &at
	}
	if v.Margin != power.Never {
		out.MarginS = seconds(v.Margin)
	}
	if v.TripIn > 0 {
		out.TripInS = seconds(v.TripIn)
	}
	switch v.Leg {
	case power.LegA:
		out.Leg = "a"
	case power.LegB:
		out.Leg = "b"
	}
	return out
}

func seconds(d time.Duration) *float64 {
	s := rounded(d.Seconds())
	return &s
}

func verdictText(w *words.Speaker, p *power.Panel, q power.Ask, v *power.Verdict) string {
	l := &p.Loads[q.Load]
	what := l.Name
	if len(l.Settings) > 1 {
		what = w.Say("cmd-amps.at", what, l.Settings[q.Setting].Name)
	}
	var b strings.Builder
	if v.Allowed {
		b.WriteString(wrap(w.Say("cmd-amps.allowed", what, say.Amps(max(0, v.MarginA))), 2))
	} else {
		b.WriteString(wrap(w.Say("cmd-amps.refused", what), 2))
	}
	b.WriteString(wrap("  "+w.Say("cmd-amps.amps", v.Where(), say.Amps(v.AmpsNow), say.Amps(v.AmpsAfter), say.Amps(v.LimitA)), 4))
	for _, r := range v.Reasons {
		b.WriteString(wrap("  "+r.Rule+": "+w.Speech(r.Says)+" ("+w.Sentence(r.Source)+")", 4))
	}
	if len(v.WayOut) > 0 {
		b.WriteString(wrap("  "+w.Say("cmd-amps.way-out", v.WayOut), 4))
	}
	b.WriteString(wrap(w.Say("cmd.caution"), 0))
	return b.String()
}
