package command

import (
	"fmt"
	"strings"
	"time"

	"shedbell/power"
)

type ampsCmd struct {
	On    []string      `sep:"none" placeholder:"LOADS" help:"What is on, such as fans:low,fridge."`
	Start string        `required:"" placeholder:"LOAD" help:"What is to start, such as pressure-washer or fans:high."`
	OnFor time.Duration `default:"10m" placeholder:"TIME" help:"How long what is on has been on (default 10m)."`
	For   time.Duration `placeholder:"TIME" help:"How long the load is to run; three hours or more count 125 percent."`
	JSON  bool          `name:"json" help:"Print one JSON object."`
}

// Help is shown after the summary of the flags.
func (*ampsCmd) Help() string {
	return `Only what --on names is on, each load as NAME or NAME:SETTING, with commas between. A name may be shortened to one of its parts between dashes, as fans for rack-fans. Without a setting the hungriest one counts. A load that cycles by itself, such as a fridge, is reserved for at its worst whether it is named or not.

Exit code 0 when the start is allowed, 3 when it is refused, 1 when the question has a fault.

` + caution
}

const (
	longestOn = 48 * time.Hour
	between   = time.Minute // what is on was started one after the other, so far apart
)

func (c *ampsCmd) Run(a *app) error {
	in := a.readLine()
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
		_, err = a.env.Stdout.Write([]byte(verdictText(p, ask, &v)))
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
			return s, power.Ask{}, fmt.Errorf("%s %s cannot be meant. Give 0s to 48h", t.flag, t.d)
		}
	}
	on, err := parseLoads(p, strings.Join(c.On, ","))
	if err != nil {
		return s, power.Ask{}, fmt.Errorf("--on: %w", err)
	}
	for i, ls := range on {
		since := now.Add(-c.OnFor - between*time.Duration(len(on)-1-i))
		s = s.Switched(p, ls.load, power.Status{On: true, Setting: ls.setting, Since: since}, since)
	}
	start, err := parseLoad(p, c.Start)
	if err != nil {
		return s, power.Ask{}, fmt.Errorf("--start: %w", err)
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
			return nil, fmt.Errorf("%s is named twice. Name it once, with the setting it is at", l.Name)
		}
		if l.Settings[ls.setting].AmpsA <= 0 {
			return nil, fmt.Errorf("%s has no amps. Read its nameplate and enter them in the line file", l.Name)
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
	Rule string `json:"rule"`
	Text string `json:"text"`
}

func verdictObject(p *power.Panel, q power.Ask, v *power.Verdict) verdictJSON {
	l := &p.Loads[q.Load]
	out := verdictJSON{Allowed: v.Allowed, Load: l.Name, Setting: l.Settings[q.Setting].Name, Circuit: v.Circuit,
		AmpsNow: rounded(v.AmpsNow), AmpsAfter: rounded(v.AmpsAfter), LimitA: rounded(v.LimitA),
		Reasons: []reasonJSON{}, SwitchOff: loadNames(p, v.SwitchOff), Confirm: loadNames(p, v.Confirm),
		MarginA: rounded(v.MarginA)}
	for _, r := range v.Reasons {
		out.Reasons = append(out.Reasons, reasonJSON{r.Rule, r.Says.String()})
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

func verdictText(p *power.Panel, q power.Ask, v *power.Verdict) string {
	l := &p.Loads[q.Load]
	what := l.Name
	if len(l.Settings) > 1 {
		what += " on " + l.Settings[q.Setting].Name
	}
	var b strings.Builder
	if v.Allowed {
		b.WriteString(wrap(fmt.Sprintf("Allowed: %s may start. Room for %.1f A more.", what, max(0, v.MarginA)), 2))
	} else {
		b.WriteString(wrap(fmt.Sprintf("Not now: %s must not start.", what), 2))
	}
	b.WriteString(wrap(fmt.Sprintf("  %s: %.1f A now, %.1f A after, limit %.1f A.", v.Where(), v.AmpsNow, v.AmpsAfter, v.LimitA), 4))
	for _, r := range v.Reasons {
		b.WriteString(wrap("  "+r.Rule+": "+r.Says.String(), 4))
	}
	if len(v.WayOut) > 0 {
		b.WriteString(wrap("  Way out: "+v.WayOut.String(), 4))
	}
	b.WriteString(wrap(caution, 0))
	return b.String()
}
