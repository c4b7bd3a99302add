package plan

import (
	"time"
)

// Report is a plan as the plan command writes it with --json. Instants are RFC 3339,
// durations are in seconds.
type Report struct {
	Made       time.Time    `json:"made"`
	Finish     time.Time    `json:"finish"`
	LowerBound time.Time    `json:"lower_bound"`
	Optimal    bool         `json:"optimal"`
	GapPercent float64      `json:"gap_percent"`
	LateS      float64      `json:"late_s"`
	WetWaitS   float64      `json:"wet_wait_s"`
	Binding    string       `json:"binding"`
	Critical   []ReportLink `json:"critical_chain"`
	Steps      []ReportStep `json:"steps"`
	Hands      []ReportTask `json:"hands"`
	WhatIf     []ReportIf   `json:"what_if"`
	Demands    []string     `json:"demands,omitempty"` // what cannot be met
}

// ReportStep is one step.
type ReportStep struct {
	Batch   int       `json:"batch,omitempty"`
	Name    string    `json:"name"`
	Kind    string    `json:"kind"`
	Station string    `json:"station"`
	Slot    int       `json:"slot"` // from 0
	Trays   int       `json:"trays,omitempty"`
	Setting string    `json:"setting,omitempty"`
	Start   time.Time `json:"start"`
	Ready   time.Time `json:"ready"`
	End     time.Time `json:"end"`
	Running bool      `json:"running,omitempty"`
	Tight   bool      `json:"critical,omitempty"`
}

// ReportTask is one piece of work by hand.
type ReportTask struct {
	Who   string    `json:"who"`
	Step  int       `json:"step"` // index into steps
	What  string    `json:"what"`
	Start time.Time `json:"start"`
	End   time.Time `json:"end"`
}

// ReportLink is one piece of the critical chain.
type ReportLink struct {
	Step  int       `json:"step"` // index into steps
	By    string    `json:"by"`
	Start time.Time `json:"start"`
	End   time.Time `json:"end"`
}

// ReportIf is what one more of something would save.
type ReportIf struct {
	What   string    `json:"what"`
	Finish time.Time `json:"finish"`
	SavesS float64   `json:"saves_s"`
	LeastS float64   `json:"saves_least_s"` // proved
	MostS  float64   `json:"saves_most_s"`  // not more than that, proved
}

// Report gives the plan for --json, with the demands that cannot be met, if there
// are any.
func (p *Plan) Report(unmet *Impossible) Report {
	r := Report{Made: p.Made, Finish: p.Finish, LowerBound: p.LowerBound, Optimal: p.Optimal, GapPercent: 100 * p.Gap(),
		LateS: p.Late.Seconds(), WetWaitS: p.WetWait.Seconds(), Binding: p.Binding.Words.String(),
		Critical: []ReportLink{}, Steps: []ReportStep{}, Hands: []ReportTask{}, WhatIf: []ReportIf{}}
	for i := range p.Steps {
		st := &p.Steps[i]
		station := &p.m.site.Stations[st.Place.Station]
		row := ReportStep{Batch: st.Batch, Name: st.Name, Kind: st.Kind.String(), Station: station.Name, Slot: st.Place.Slot,
			Trays: st.Trays, Start: st.Start, Ready: st.Ready, End: st.Off, Running: st.Running, Tight: st.Tight}
		if station.Load >= 0 {
			if load := &p.m.site.Panel.Loads[station.Load]; len(load.Settings) > 1 {
				row.Setting = load.Settings[st.Setting].Name
			}
		}
		r.Steps = append(r.Steps, row)
	}
	for _, t := range p.Hands {
		r.Hands = append(r.Hands, ReportTask{Who: p.Person(t.Who), Step: t.Step, What: t.What, Start: t.Start, End: t.End})
	}
	for _, l := range p.Binding.Chain {
		r.Critical = append(r.Critical, ReportLink(l))
	}
	for _, w := range p.WhatIf {
		r.WhatIf = append(r.WhatIf, ReportIf{What: w.What.String(), Finish: w.Finish, SavesS: w.Saves.Seconds(), LeastS: w.Least.Seconds(), MostS: w.Most.Seconds()})
	}
	if unmet != nil {
		for _, d := range unmet.Demands {
			r.Demands = append(r.Demands, d.String())
		}
	}
	return r
}

// Person is the name of a person of the crew.
func (p *Plan) Person(who int) string {
	if who < 0 || who >= len(p.m.state.Crew) {
		return "you"
	}
	return p.m.state.Crew[who]
}
