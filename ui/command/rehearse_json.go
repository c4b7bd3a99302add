package command

import (
	"encoding/json"
	"io"
	"math"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// rehearsal is a rehearsed day, ready to be printed.
type rehearsal struct {
	res   *rehearse.Result
	sheet *line.Sheet
	seed  uint64
}

// rehearsalJSON is what `rehearse --json` prints. Scripts rely on its keys: they
// are never renamed, and new ones may be added. Instants are RFC 3339.
type rehearsalJSON struct {
	Start      time.Time     `json:"start"`
	Finish     time.Time     `json:"finish"`
	GreensCold time.Time     `json:"greens_cold"`
	Hours      float64       `json:"hours"`
	Trays      int           `json:"trays"`
	Batches    []batchJSON   `json:"batches"`
	Chores     []choreJSON   `json:"chores"`
	Circuits   []circuitJSON `json:"circuits"`
	Refusals   refusalsJSON  `json:"refusals"`
	HandsBusy  float64       `json:"hands_busy"` // share, 0 to 1
	WetWaitMin float64       `json:"wet_wait_minutes"`
	Seed       uint64        `json:"seed"`
}

type batchJSON struct {
	ID       int        `json:"id"`
	Crop     string     `json:"crop"`
	Name     string     `json:"name"`
	Trays    int        `json:"trays"`
	Packages int        `json:"packages"`
	NetG     float64    `json:"net_g"`
	Due      *time.Time `json:"due,omitempty"`
	Cold     time.Time  `json:"cold"`
	Steps    []stepJSON `json:"steps"`
}

type stepJSON struct {
	Station string    `json:"station"` // kind of the station
	Place   string    `json:"place"`   // its own name
	Start   time.Time `json:"start"`
	End     time.Time `json:"end"`
}

type choreJSON struct {
	Chore string    `json:"chore"`
	Place string    `json:"place"`
	Crop  string    `json:"crop,omitempty"`
	Trays int       `json:"trays"`
	Start time.Time `json:"start"`
	End   time.Time `json:"end"`
}

type circuitJSON struct {
	Name   string  `json:"name"`
	LimitA float64 `json:"limit_a"`
	PeakA  float64 `json:"peak_a"`
}

type refusalsJSON struct {
	Count int      `json:"count"`
	Texts []string `json:"texts"`
}

func (r *rehearsal) object() rehearsalJSON {
	res := r.res
	start, finish := second(res.Start), second(res.Finish)
	out := rehearsalJSON{
		Start: start, Finish: finish, GreensCold: second(res.Greens), Hours: rounded(finish.Sub(start).Hours()),
		Trays: r.sheet.Trays(), HandsBusy: rounded(res.HandsBusy), WetWaitMin: rounded(res.WetWait.Minutes()), Seed: r.seed,
		Batches: []batchJSON{}, Chores: []choreJSON{},
		Refusals: refusalsJSON{Count: len(res.Refusals), Texts: []string{}},
	}
	at := map[int]int{}
	for i := range res.Final.Batches {
		b := &res.Final.Batches[i]
		at[b.ID] = i
		j := batchJSON{ID: b.ID, Crop: b.Crop, Name: b.Name(), Trays: b.Trays, Packages: b.Packages,
			NetG: rounded(b.NetG), Cold: second(b.ColdAt), Steps: []stepJSON{}}
		if !b.Due.IsZero() {
			due := second(b.Due)
			j.Due = &due
		}
		out.Batches = append(out.Batches, j)
	}
	for i := range res.Steps {
		s := &res.Steps[i]
		st := &res.Final.Site.Stations[s.Station]
		if k, ok := at[s.Batch]; ok {
			out.Batches[k].Steps = append(out.Batches[k].Steps,
				stepJSON{Station: st.Kind.String(), Place: st.Name, Start: second(s.Start), End: second(s.End)})
			continue
		}
		out.Chores = append(out.Chores, choreJSON{Chore: s.Chore.String(), Place: st.Name, Crop: s.Crop,
			Trays: s.Trays, Start: second(s.Start), End: second(s.End)})
	}
	p := &res.Final.Site.Panel
	for i := range p.Circuits {
		out.Circuits = append(out.Circuits, circuitJSON{p.Circuits[i].Name, rounded(p.LimitA(i)), rounded(res.PeakA[i])})
	}
	for _, no := range res.Refusals {
		out.Refusals.Texts = append(out.Refusals.Texts, no.Says.String())
	}
	return out
}

// second cuts an instant to the second, so that order in time is kept.
func second(t time.Time) time.Time { return t.Truncate(time.Second) }

// rounded leaves three decimals, more than any meter on the line shows.
func rounded(v float64) float64 { return math.Round(v*1000) / 1000 }

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
