package command

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/line/say"
	"shedbell/power"
	"shedbell/ui/words"
)

const dateForm = "Mon 2 Jan 2006"

func (r *rehearsal) text(w *words.Speaker) string {
	res, site := r.res, r.res.Final.Site
	var b strings.Builder
	b.WriteString(wrap(w.Say("cmd-rehearse.title", w.Date(res.Start, dateForm), site.Name), 2))
	b.WriteString(wrap(w.Say("cmd-rehearse.asked", w.Trays(r.sheet.Trays()), w.Say("cmd-count.crop", crops(r.sheet)),
		w.Say("cmd-count.person", len(res.Final.Crew)), int(r.seed)), 2))
	b.WriteString("\n")
	r.timeline(w, &b)
	b.WriteString("\n")
	r.summary(w, &b)
	b.WriteString("\n")
	b.WriteString(peaks(w, &site.Panel, res.PeakA))
	b.WriteString("\n")
	if len(res.Refusals) == 0 {
		b.WriteString(w.Say("cmd-rehearse.no-refusals") + "\n")
		return b.String()
	}
	b.WriteString(w.Say("cmd-rehearse.refusals", len(res.Refusals)) + "\n")
	for _, no := range res.Refusals {
		b.WriteString(wrap("  "+w.TimeOfDay(no.At, "")+"  "+w.Speech(no.Says), 9))
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

// timeline lists what happened when, with a line where a new date begins.
func (r *rehearsal) timeline(w *words.Speaker, b *strings.Builder) {
	columns := []column{{head: w.Say("cmd-rehearse.start")}, {head: w.Say("cmd-rehearse.end")}, {head: w.Say("cmd-rehearse.min"), right: true},
		{head: w.Say("cmd-rehearse.station"), most: 20}, {head: w.Say("cmd-rehearse.batch"), most: 18}, {head: w.Say("cmd-rehearse.what"), most: 24}}
	var rows [][]string
	day := r.res.Start.Format(time.DateOnly)
	for i := range r.res.Steps {
		s := &r.res.Steps[i]
		if d := s.Start.Format(time.DateOnly); d != day {
			day = d
			rows = append(rows, []string{"", "", "", w.Date(s.Start, dateForm), "", ""})
		}
		rows = append(rows, r.row(w, s))
	}
	b.WriteString(table(columns, rows))
}

func (r *rehearsal) row(w *words.Speaker, s *rehearse.StepTime) []string {
	f := r.res.Final
	st := &f.Site.Stations[s.Station]
	trays := w.Trays(s.Trays)
	row := []string{w.TimeOfDay(s.Start, ""), w.TimeOfDay(s.End, ""), fmt.Sprintf("%.1f", s.End.Sub(s.Start).Minutes()), st.Name, "", ""}
	if batch := f.Batch(s.Batch); batch != nil {
		row[4], row[5] = batch.Name(), w.Say("cmd-rehearse.chore", st.Kind, trays)
		if st.Kind == line.Chill {
			row[1], row[2], row[5] = "", "", w.Say("cmd-rehearse.cold", trays)
		}
		return row
	}
	row[4], row[5] = "-", w.Say(choreKeys[s.Chore])
	switch s.Chore {
	case line.SowTrays:
		row[4] = s.Crop
		fallthrough
	case line.WashTrays, line.SanitizeAll:
		row[5] = w.Say("cmd-rehearse.chore", row[5], trays)
	}
	return row
}

var choreKeys = map[line.ChoreKind]string{line.WashTrays: "cmd-rehearse.wash", line.SanitizeAll: "cmd-rehearse.sanitize",
	line.SowTrays: "cmd-rehearse.sow", line.ChangeWater: "cmd-rehearse.change-water"}

func (r *rehearsal) summary(w *words.Speaker, b *strings.Builder) {
	res := r.res
	var late, waited []say.Sentence
	for i := range res.Final.Batches {
		batch := &res.Final.Batches[i]
		if !batch.Due.IsZero() && batch.ColdAt.After(batch.Due) {
			late = append(late, say.New("cmd-rehearse.late-is", batch.Name(), say.Time(batch.ColdAt), say.Time(batch.Due)))
		}
		if r, ok := res.Final.Recipe(batch.Crop); ok && batch.WetSoFar > r.MaxWetWait {
			waited = append(waited, say.New("cmd-rehearse.wet-too-long-is", batch.Name(), batch.WetSoFar.Minutes(), r.MaxWetWait.Minutes()))
		}
	}
	rows := [][2]string{
		{w.Say("cmd-rehearse.finish"), w.Say("cmd-rehearse.finish-is", say.Time(res.Finish), res.Finish.Sub(res.Start).Hours())},
		{w.Say("cmd-rehearse.greens-cold"), w.TimeOfDay(res.Greens, "")},
		{w.Say("cmd-rehearse.hands-busy"), w.Say("cmd-rehearse.hands-busy-is", res.HandsBusy*100, w.Say("cmd-count.person", len(res.Final.Crew)))},
		{w.Say("cmd-rehearse.wet-wait"), w.Say("cmd-rehearse.wet-wait-is", res.WetWait.Minutes())},
	}
	if len(late) > 0 {
		rows = append(rows, [2]string{w.Say("cmd-rehearse.late"), w.Sentence(say.Join(late, "; "))})
	}
	if len(waited) > 0 {
		rows = append(rows, [2]string{w.Say("cmd-rehearse.wet-too-long"), w.Sentence(say.Join(waited, "; "))})
	}
	labelled(b, rows)
}

// peaks is the table of each circuit's highest current against its limit.
func peaks(w *words.Speaker, p *power.Panel, peakA []float64) string {
	columns := []column{{head: w.Say("cmd-rehearse.circuit"), most: 40}, {head: w.Say("cmd-rehearse.limit"), right: true},
		{head: w.Say("cmd-rehearse.peak"), right: true}, {head: w.Say("cmd-rehearse.room"), right: true}}
	var rows [][]string
	for i := range p.Circuits {
		limit := p.LimitA(i)
		rows = append(rows, []string{p.Circuits[i].Name, fmt.Sprintf("%.1f", limit), fmt.Sprintf("%.1f", peakA[i]), fmt.Sprintf("%.1f", limit-peakA[i])})
	}
	return table(columns, rows)
}
