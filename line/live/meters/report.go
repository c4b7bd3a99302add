package meters

import (
	"encoding/json"
	"os"
	"path/filepath"
	"time"

	"shedbell/line/meter"
	"shedbell/line/say"
)

// Report is what the meters say, as the program that has the line leaves it in the data
// folder for other commands. Scripts rely on its keys: they are never renamed, and new
// ones may be added.
type Report struct {
	At      time.Time `json:"at"`
	Address string    `json:"address"`
	Meters  []Entry   `json:"meters"`
}

// Entry is one meter.
type Entry struct {
	Kind    meter.Kind `json:"kind"`
	Of      string     `json:"of"`
	Topic   string     `json:"topic"`
	Value   *float64   `json:"value"` // null: none has come
	Unit    string     `json:"unit"`
	AgeS    *float64   `json:"age_s"`
	EveryS  *float64   `json:"every_s"` // between the last two
	Fresh   bool       `json:"fresh"`   // it counts
	Kept    bool       `json:"kept"`    // a broker had it from before, or it came twice
	State   string     `json:"state"`   // of a load: on, off, or empty: not sure
	Problem string     `json:"problem"` // why the last message was no reading

	Says say.Sentence `json:"says,omitzero"` // the problem, for other languages
}

// Report is what the meters say at an instant.
func (r *Room) Report(now time.Time) Report {
	out := Report{At: now.Round(0), Address: r.at, Meters: []Entry{}}
	for _, row := range r.Rows() {
		e := Entry{Kind: row.Meter.Kind, Of: row.Meter.Of, Topic: row.Meter.Topic, Unit: row.Meter.Unit, Fresh: row.Fresh(now), Kept: row.Kept}
		if !row.At.IsZero() {
			value, age := row.Value, now.Sub(row.At).Seconds()
			e.Value, e.AgeS = &value, &age
		}
		if row.Gap > 0 {
			every := row.Gap.Seconds()
			e.EveryS = &every
		}
		if says, ok := row.Problem.(interface{ Says() say.Sentence }); ok {
			e.Says, e.Problem = says.Says(), row.Problem.Error()
		}
		if on, ok := r.Load(row.Meter.Of, now); ok && row.Meter.Kind == meter.Load {
			e.State = map[meter.Verdict]string{meter.On: "on", meter.Off: "off"}[on.Verdict]
		}
		out.Meters = append(out.Meters, e)
	}
	return out
}

const reportFile = "meters.json"

// Keep leaves the report in a folder, in place of the one before.
func (p *Report) Keep(folder string) error {
	data, err := json.Marshal(p)
	if err != nil {
		return err
	}
	name := filepath.Join(folder, reportFile)
	if err := os.WriteFile(name+".new", data, 0o600); err != nil {
		return err
	}
	return os.Rename(name+".new", name)
}

// LastReport reads what was left in a folder.
func LastReport(folder string) (p Report, err error) {
	data, err := os.ReadFile(filepath.Join(folder, reportFile))
	if err == nil {
		err = json.Unmarshal(data, &p)
	}
	return p, err
}
