// Package words turns the line's state and prompts into the sentences that people
// read: verb first, batch in capitals, short enough to be read once.
package words

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
)

// Clock writes a duration as a countdown: 12:40, 1:02:03, -0:12.
func Clock(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	d = d.Truncate(time.Second)
	h, m, s := int(d.Hours()), int(d.Minutes())%60, int(d.Seconds())%60
	if h > 0 {
		return fmt.Sprintf("%s%d:%02d:%02d", sign, h, m, s)
	}
	return fmt.Sprintf("%s%d:%02d", sign, m, s)
}

// Left writes what a countdown shows. It rounds up, so that 0:00 means over.
func Left(d time.Duration) string {
	if d > 0 {
		d += time.Second - time.Nanosecond
	}
	return Clock(d)
}

// Count writes a number with its noun.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Grams writes a weight in grams or kilograms.
func Grams(g float64) string {
	if g >= 1000 {
		return fmt.Sprintf("%.2f kg", g/1000)
	}
	return fmt.Sprintf("%.0f g", g)
}

// Sentence is a prompt in words: what to do, and what follows from it.
type Sentence struct {
	Do   string
	Then string
}

// Prompt words a prompt.
func Prompt(s *line.State, p *line.Prompt) Sentence {
	w := worder{s: s, p: p}
	if p.Batch != 0 {
		if w.b = s.Batch(p.Batch); w.b == nil {
			return Sentence{Do: "Go on"}
		}
		return w.batch()
	}
	return w.chore()
}

type worder struct {
	s *line.State
	p *line.Prompt
	b *line.Batch
}

func (w *worder) batch() Sentence {
	name, trays := w.b.Shout(), Count(w.b.Trays, "tray", "trays")
	switch w.p.Act {
	case line.ActStart:
		return w.start(name, trays)
	case line.ActAdvance:
		return w.advance(name)
	case line.ActFinish:
		return w.finish(name, trays)
	case line.ActChill:
		return Sentence{Do: fmt.Sprintf("Put %s into the %s", name, w.place(w.p.To)), Then: "then it is cold and off the line"}
	case line.ActResume:
		return Sentence{Do: fmt.Sprintf("Go on with %s at the %s", name, w.place(w.p.From)),
			Then: Clock(w.b.Step.Left(w.s.At)) + " of it are left"}
	}
	return Sentence{Do: "Go on with " + name}
}

func (w *worder) kind(p line.Place) line.Kind {
	if p.Station < 0 {
		return line.Cut
	}
	return w.s.Site.Stations[p.Station].Kind
}

func (w *worder) place(p line.Place) string { return w.s.PlaceName(p) }

// countdown is the time that a step would run.
func (w *worder) countdown(to line.Place) string {
	r, ok := w.s.Recipe(w.b.Crop)
	if !ok {
		return ""
	}
	return Clock(line.PlannedTime(w.s, w.b, to, &r))
}

func (w *worder) start(name, trays string) Sentence {
	to := w.place(w.p.To)
	switch w.kind(w.p.To) {
	case line.Cut:
		return Sentence{Do: fmt.Sprintf("Cut %s, %s", name, trays), Then: "at the " + to}
	case line.Wash:
		return Sentence{Do: fmt.Sprintf("Put %s into the %s", name, to), Then: fmt.Sprintf("then start the %s for %s", w.loadName(w.p.To), w.countdown(w.p.To))}
	case line.Spin:
		return Sentence{Do: fmt.Sprintf("Put %s into the %s", name, to), Then: "then start it for " + w.countdown(w.p.To)}
	case line.Dry:
		return Sentence{Do: fmt.Sprintf("Spread %s on %s", name, to), Then: fmt.Sprintf("then start the %s for %s", w.loadName(w.p.To), w.countdown(w.p.To))}
	case line.Pack:
		return Sentence{Do: fmt.Sprintf("Pack %s, %s", name, trays), Then: "at the " + to}
	}
	return Sentence{Do: fmt.Sprintf("Put %s into the %s", name, to)}
}

func (w *worder) loadName(p line.Place) string {
	l := w.s.Site.Stations[p.Station].Load
	if l == line.NoLoad {
		return "clock"
	}
	return strings.ReplaceAll(w.s.Site.Panel.Loads[l].Name, "-", " ")
}

func (w *worder) advance(name string) Sentence {
	out := w.takeOut(name)
	switch w.kind(w.p.To) {
	case line.Spin:
		return Sentence{Do: out + ", into the " + w.place(w.p.To), Then: "then start it for " + w.countdown(w.p.To)}
	case line.Dry:
		return Sentence{Do: out + ", onto " + w.place(w.p.To), Then: "then dry for " + w.countdown(w.p.To)}
	case line.Chill:
		return Sentence{Do: fmt.Sprintf("Weigh %s and put it into the cold", name), Then: "then it is off the line"}
	}
	return Sentence{Do: out + ", to the " + w.place(w.p.To)}
}

// takeOut is the first half of moving on; confirming the machine off is part of
// it.
func (w *worder) takeOut(name string) string {
	from := w.place(w.p.From)
	switch w.kind(w.p.From) {
	case line.Wash:
		return fmt.Sprintf("Blower off, lift %s out of the %s", name, from)
	case line.Spin:
		return fmt.Sprintf("Stop the %s, take %s out", from, name)
	case line.Dry:
		return fmt.Sprintf("Take %s off %s", name, from)
	}
	return fmt.Sprintf("Take %s from the %s", name, from)
}

func (w *worder) finish(name, trays string) Sentence {
	switch w.kind(w.p.From) {
	case line.Cut:
		return Sentence{Do: "Finish cutting " + name, Then: trays + "; Enter when it is cut"}
	case line.Pack:
		return Sentence{Do: "Finish packing " + name, Then: "then type packages and weight"}
	case line.Dry:
		then := "then it waits for the packing table"
		if n := w.s.LoadUsers(w.b.Step.Load, w.p.From); w.b.Step.Load != line.NoLoad && n == 0 {
			then = "switch the " + w.loadName(w.p.From) + " off: nothing else dries"
		}
		return Sentence{Do: w.takeOut(name), Then: then}
	case line.Wash:
		return Sentence{Do: w.takeOut(name), Then: "it waits wet until the spinner is free"}
	case line.Spin:
		return Sentence{Do: w.takeOut(name), Then: "it waits wet until a shelf is free"}
	}
	return Sentence{Do: w.takeOut(name)}
}

func (w *worder) chore() Sentence {
	trays := Count(w.p.Trays, "tray", "trays")
	if w.p.Act == line.ActClose {
		return Sentence{Do: "All done: close the day", Then: "everything is cold, clean and sown"}
	}
	verb := "Start"
	if w.p.Act == line.ActFinish {
		return w.choreEnd(trays)
	}
	switch w.p.Chore {
	case line.WashTrays:
		return Sentence{Do: "Pressure wash " + trays, Then: "alone on the power: everything else stays off"}
	case line.SanitizeAll:
		return Sentence{Do: "Sanitize the surfaces and " + trays, Then: "keep them wet for the contact time on the label"}
	case line.SowTrays:
		return Sentence{Do: fmt.Sprintf("Sow %s of %s", trays, w.p.Crop), Then: w.seed()}
	case line.ChangeWater:
		return Sentence{Do: "Change the water in the " + w.place(w.p.To), Then: "the pump empties it; fill it again"}
	}
	return Sentence{Do: verb}
}

func (w *worder) seed() string {
	r, ok := w.s.Recipe(w.p.Crop)
	if !ok || r.SeedG == 0 {
		return ""
	}
	return fmt.Sprintf("%s of seed, %s a tray", Grams(r.SeedG*float64(w.p.Trays)), Grams(r.SeedG))
}

func (w *worder) choreEnd(trays string) Sentence {
	switch w.p.Chore {
	case line.WashTrays:
		return Sentence{Do: "Finish washing " + trays, Then: "pressure washer off, let the pressure out"}
	case line.SanitizeAll:
		return Sentence{Do: "Contact time over: drain and let dry", Then: "surfaces and " + trays}
	case line.SowTrays:
		return Sentence{Do: fmt.Sprintf("Finish sowing %s of %s", trays, w.p.Crop), Then: w.seed()}
	case line.ChangeWater:
		return Sentence{Do: "Fresh water is in the " + w.place(w.p.From), Then: "Enter when it is full"}
	}
	return Sentence{Do: "Finish"}
}
