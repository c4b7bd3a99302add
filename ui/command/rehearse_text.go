package command

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/power"
)

const (
	dateForm  = "Mon 2 Jan 2006"
	clockForm = "15:04"
)

func (r *rehearsal) text() string {
	res, site := r.res, r.res.Final.Site
	var b strings.Builder
	b.WriteString(wrap(fmt.Sprintf("Rehearsal of %s, %s", res.Start.Format(dateForm), site.Name), 2))
	fmt.Fprintf(&b, "%s of %s, %s, seed %d\n", count(r.sheet.Trays(), "tray", "trays"),
		count(crops(r.sheet), "crop", "crops"), count(len(res.Final.Crew), "person", "people"), r.seed)
	b.WriteString("\n")
	r.timeline(&b)
	b.WriteString("\n")
	r.summary(&b)
	b.WriteString("\n")
	b.WriteString(peaks(&site.Panel, res.PeakA))
	b.WriteString("\n")
	if len(res.Refusals) == 0 {
		b.WriteString("Refusals: none\n")
		return b.String()
	}
	fmt.Fprintf(&b, "Refusals: %d\n", len(res.Refusals))
	for _, no := range res.Refusals {
		b.WriteString(wrap("  "+no.At.Format(clockForm)+"  "+no.Text, 9))
	}
	return b.String()
}

func crops(d *line.Sheet) int {
	seen := map[string]bool{}
	for _, c := range d.Crops {
		seen[c.Crop] = true
	}
	return len(seen)
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// timeline lists what happened when, with a line where a new date begins.
func (r *rehearsal) timeline(b *strings.Builder) {
	columns := []column{{head: "start"}, {head: "end"}, {head: "min", right: true},
		{head: "station", most: 20}, {head: "batch", most: 22}, {head: "what", most: 18}}
	var rows [][]string
	day := r.res.Start.Format(time.DateOnly)
	for i := range r.res.Steps {
		s := &r.res.Steps[i]
		if d := s.Start.Format(time.DateOnly); d != day {
			day = d
			rows = append(rows, []string{"", "", "", s.Start.Format(dateForm), "", ""})
		}
		rows = append(rows, r.row(s))
	}
	b.WriteString(table(columns, rows))
}

func (r *rehearsal) row(s *rehearse.StepTime) []string {
	f := r.res.Final
	st := &f.Site.Stations[s.Station]
	trays := count(s.Trays, "tray", "trays")
	row := []string{s.Start.Format(clockForm), s.End.Format(clockForm), fmt.Sprintf("%.1f", s.End.Sub(s.Start).Minutes()), st.Name, "", ""}
	if batch := f.Batch(s.Batch); batch != nil {
		row[4], row[5] = batch.Name(), st.Kind.String()+" "+trays
		if st.Kind == line.Chill {
			row[1], row[2], row[5] = "", "", "cold, "+trays
		}
		return row
	}
	row[4], row[5] = "-", choreWords[s.Chore]
	switch s.Chore {
	case line.SowTrays:
		row[4] = s.Crop
		fallthrough
	case line.WashTrays, line.SanitizeAll:
		row[5] += " " + trays
	}
	return row
}

var choreWords = map[line.ChoreKind]string{line.WashTrays: "wash", line.SanitizeAll: "sanitize",
	line.SowTrays: "sow", line.ChangeWater: "change the water"}

func (r *rehearsal) summary(b *strings.Builder) {
	res := r.res
	fmt.Fprintf(b, "finish       %s, %.1f h after the start\n", res.Finish.Format(clockForm), res.Finish.Sub(res.Start).Hours())
	fmt.Fprintf(b, "greens cold  %s\n", res.Greens.Format(clockForm))
	fmt.Fprintf(b, "hands busy   %.0f %% of the time of %s\n", res.HandsBusy*100, count(len(res.Final.Crew), "person", "people"))
	fmt.Fprintf(b, "wet wait     %.0f min over all batches\n", res.WetWait.Minutes())
	var late, waited []string
	for i := range res.Final.Batches {
		batch := &res.Final.Batches[i]
		if !batch.Due.IsZero() && batch.ColdAt.After(batch.Due) {
			late = append(late, fmt.Sprintf("%s at %s, due %s", batch.Name(), batch.ColdAt.Format(clockForm), batch.Due.Format(clockForm)))
		}
		if r, ok := res.Final.Recipe(batch.Crop); ok && batch.WetSoFar > r.MaxWetWait {
			waited = append(waited, fmt.Sprintf("%s %.0f of %.0f min", batch.Name(), batch.WetSoFar.Minutes(), r.MaxWetWait.Minutes()))
		}
	}
	if len(late) > 0 {
		b.WriteString(wrap("late         "+strings.Join(late, "; "), 13))
	}
	if len(waited) > 0 {
		b.WriteString(wrap("wet too long "+strings.Join(waited, "; "), 13))
	}
}

// peaks is the table of each circuit's highest current against its limit.
func peaks(p *power.Panel, peakA []float64) string {
	columns := []column{{head: "circuit", most: 40}, {head: "limit A", right: true}, {head: "peak A", right: true}, {head: "room A", right: true}}
	var rows [][]string
	for i := range p.Circuits {
		limit := p.LimitA(i)
		rows = append(rows, []string{p.Circuits[i].Name, fmt.Sprintf("%.1f", limit), fmt.Sprintf("%.1f", peakA[i]), fmt.Sprintf("%.1f", limit-peakA[i])})
	}
	return table(columns, rows)
}
