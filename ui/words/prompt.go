package words

import (
	"strings"

	"shedbell/line"
	"shedbell/line/say"
)

// Sentence is a prompt in words: what to do, and what follows from it.
type Sentence struct {
	Do   string
	Then string
}

// Prompt words a prompt. A screen that writes weights its own way passes weight.
func (t *Speaker) Prompt(s *line.State, p *line.Prompt) Sentence {
	w := worder{t: t, s: s, p: p}
	switch {
	case p.Act == line.ActConfirm:
		then := "then.off"
		if p.Setting >= 0 {
			then = "then.at-setting"
		}
		return Sentence{t.confirm(s, p, "do.off", "do.at-setting"), t.Say(then)}
	case p.Batch == 0:
		return w.chore()
	}
	if w.b = s.Batch(p.Batch); w.b == nil {
		return Sentence{Do: t.Say("do.idle")}
	}
	return w.batch()
}

// confirm asks whether a machine is off or, in the other text, at a setting.
func (t *Speaker) confirm(s *line.State, p *line.Prompt, off, at string) string {
	l := &s.Site.Panel.Loads[p.Load]
	n := 1
	if strings.HasSuffix(l.Name, "s") && !strings.HasSuffix(l.Name, "ss") { // rack fans are several
		n = 2
	}
	if p.Setting < 0 {
		return t.Say(off, say.Load(l.Name), n)
	}
	return t.Say(at, say.Load(l.Name), t.Setting(l.Settings[p.Setting].Name), n)
}

// Trays counts trays.
func (t *Speaker) Trays(n int) string { return t.Say("count.trays", n) }

// Packs counts packages.
func (t *Speaker) Packs(n int) string { return t.Say("count.packs", n) }

// Batches counts batches.
func (t *Speaker) Batches(n int) string { return t.Say("count.batches", n) }

// Packages counts packages, in full.
func (t *Speaker) Packages(n int) string { return t.Say("count.packages", n) }

// Count says one of two texts: the one for a single thing, or the one that a number
// is filled into.
func (t *Speaker) Count(n int, one, many string) string {
	if n == 1 {
		return t.Say(one)
	}
	return t.Say(many, n)
}

// worder is a prompt being put into words.
type worder struct {
	t *Speaker
	s *line.State
	p *line.Prompt
	b *line.Batch
}

func (w *worder) batch() Sentence {
	name := w.t.Caps(w.b)
	if at := w.p.To; w.p.Act == line.ActResume && w.kind(at) == line.Wash && w.s.Water[at.Station].Empty {
		if _, afresh := w.p.Command.(line.Restart); afresh {
			return Sentence{Do: w.t.Say("do.refill-restart", name, w.place(at)), Then: w.countdown(at)}
		}
		return Sentence{Do: w.t.Say("do.refill", name, w.place(at)), Then: w.left(&w.b.Step)}
	}
	if w.p.ByHand {
		return w.byHand(name)
	}
	switch w.p.Act {
	case line.ActStart:
		return w.start(name)
	case line.ActAdvance, line.ActPut:
		return w.advance(name)
	case line.ActFinish:
		return w.finish(name)
	case line.ActChill:
		return Sentence{w.t.Say("do.chill", name, w.place(w.p.To)), w.t.Say("then.cold")}
	case line.ActResume:
		return Sentence{w.t.Say("do.resume", name, w.place(w.p.From)), w.left(&w.b.Step)}
	}
	if w.p.Act == line.ActMove {
		return Sentence{w.t.Say("do.move", name, w.place(w.p.From), w.place(w.p.To)), w.outOfUse(w.p.From)}
	}
	return Sentence{Do: w.t.Say("do.go-on", name)}
}

// byHand asks people to stand in for a machine, and says why.
func (w *worder) byHand(name string) Sentence {
	kind, to := w.kind(w.p.To), w.place(w.p.To)
	do := w.t.Say("by-hand."+kind.String(), name, to)
	switch w.p.Act {
	case line.ActResume:
		do = w.t.Say("do.resume-by-hand", name, to)
	case line.ActAdvance:
		do = w.t.Say("do.out-by-hand", w.takeOut(name), w.t.Say("by-hand-next."+kind.String(), to))
	}
	r, _ := w.s.RecipeOf(w.b)
	t := max(line.Advice{}.HandTime(w.s, w.p.To, w.b.Crop, w.b.Trays, ""), line.PlannedTime(w.s, w.b, w.p.To, &r, ""))
	if t > 0 && w.p.Act != line.ActResume {
		return Sentence{do, w.t.Say("then.about", w.outOfUse(w.p.To), Clock(t))}
	}
	return Sentence{do, w.outOfUse(w.p.To)}
}

// outOfUse says why a place cannot be used.
func (w *worder) outOfUse(p line.Place) string {
	t, _ := w.s.OutOfUse(p)
	if t.What == "" {
		return w.t.Say("then.out-of-use", w.place(p))
	}
	return w.t.Say("then.out-of-use-why", w.place(p), t.What)
}

// left says how much of a held step is left; nothing where it was held after its end.
func (w *worder) left(step *line.Step) string {
	switch left := step.Left(w.s.At); {
	case step.Planned == 0:
		return "" // done by hand, without a countdown
	case left > 0:
		return w.t.Say("then.left", Left(left))
	}
	return w.t.Say("then.left-over")
}

// kind is the kind of station at a place; trays that wait uncut are about to be
// cut.
func (w *worder) kind(p line.Place) line.Kind {
	if p.Station < 0 {
		return line.Cut
	}
	return w.s.Site.Stations[p.Station].Kind
}

func (w *worder) place(p line.Place) string { return w.t.Place(w.s, p) }

// countdown is the time that the step at a place would run.
func (w *worder) countdown(to line.Place) string {
	r, ok := w.s.RecipeOf(w.b)
	if !ok {
		return ""
	}
	return Clock(line.PlannedTime(w.s, w.b, to, &r, w.setting()))
}

// setting is the one that the fans are to be put to, where that is not the recipe's.
func (w *worder) setting() string {
	switch c := w.p.Command.(type) {
	case line.Start:
		return c.Setting
	case line.Advance:
		return c.Setting
	}
	return ""
}

// dryFor is what follows from putting a batch on a rack.
func (w *worder) dryFor(plain string) string {
	if set := w.setting(); set != "" {
		return w.t.Say("then.fans-at", w.load(w.p.To), w.t.Setting(set), w.countdown(w.p.To))
	}
	return plain
}

func (w *worder) load(p line.Place) string {
	l := w.s.Site.Stations[p.Station].Load
	if l == line.NoLoad {
		return w.place(p)
	}
	return w.t.Load(w.s.Site.Panel.Loads[l].Name)
}

func (w *worder) start(name string) Sentence {
	to, trays := w.place(w.p.To), w.t.Trays(w.b.Trays)
	if w.b.Fate == line.OnLine && w.b.Step.Progress == line.Loaded && w.b.Step.Place == w.p.To && w.load(w.p.To) != "" {
		return Sentence{w.t.Say("do.start-standing", w.load(w.p.To), name), w.dryFor(w.t.Say("then.for", w.countdown(w.p.To)))}
	}
	switch w.kind(w.p.To) {
	case line.Cut:
		return Sentence{w.t.Say("do.cut", name, trays), w.t.Say("then.at", to)}
	case line.Wash:
		return Sentence{w.t.Say("do.wash", name, to), w.t.Say("then.start-load", w.load(w.p.To), w.countdown(w.p.To))}
	case line.Spin:
		return Sentence{w.t.Say("do.spin", name, to), w.t.Say("then.start-it", w.countdown(w.p.To))}
	case line.Dry:
		return Sentence{w.t.Say("do.dry", name, to), w.dryFor(w.t.Say("then.start-load", w.load(w.p.To), w.countdown(w.p.To)))}
	case line.Pack:
		return Sentence{w.t.Say("do.pack", name, trays), w.t.Say("then.at", to)}
	}
	return Sentence{Do: w.t.Say("do.chill", name, to)}
}

func (w *worder) advance(name string) Sentence {
	out := w.takeOut(name)
	if step := &w.b.Step; w.p.Act == line.ActPut && step.Progress == line.Finished {
		out = w.t.Say("do.take", name, w.place(w.p.From))
	}
	switch w.kind(w.p.To) {
	case line.Spin:
		if w.p.Act == line.ActPut {
			return Sentence{w.t.Say("do.into", out, w.place(w.p.To)), w.t.Say("then.stands", w.load(w.p.To))}
		}
		return Sentence{w.t.Say("do.into", out, w.place(w.p.To)), w.t.Say("then.start-it", w.countdown(w.p.To))}
	case line.Dry:
		if w.p.Act == line.ActPut {
			return Sentence{w.t.Say("do.onto", out, w.place(w.p.To)), w.t.Say("then.stands", w.load(w.p.To))}
		}
		return Sentence{w.t.Say("do.onto", out, w.place(w.p.To)), w.dryFor(w.t.Say("then.dry-for", w.countdown(w.p.To)))}
	}
	return Sentence{Do: w.t.Say("do.to", out, w.place(w.p.To))}
}

// takeOut is the first half of moving on; confirming the machine off is part of
// it.
func (w *worder) takeOut(name string) string {
	from := w.place(w.p.From)
	if w.b.Step.ByHand {
		return w.t.Say("do.take", name, from)
	}
	switch w.kind(w.p.From) {
	case line.Wash:
		return w.t.Say("do.lift", name, from)
	case line.Spin:
		return w.t.Say("do.unload", name, from)
	case line.Dry:
		return w.t.Say("do.take-off", name, from)
	}
	return w.t.Say("do.take", name, from)
}

func (w *worder) finish(name string) Sentence {
	switch w.kind(w.p.From) {
	case line.Cut:
		return Sentence{w.t.Say("do.cut-end", name), w.t.Say("then.cut-end")}
	case line.Pack:
		return Sentence{w.t.Say("do.pack-end", name), w.t.Say("then.pack-end")}
	case line.Dry:
		then := w.t.Say("then.pack-waits")
		if n := w.s.LoadUsers(w.b.Step.Load, w.p.From); w.b.Step.Load != line.NoLoad && n == 0 {
			then = w.t.Say("then.fans-off", w.load(w.p.From))
		}
		return Sentence{w.takeOut(name), then}
	case line.Wash:
		return Sentence{w.takeOut(name), w.t.Say("then.spin-waits")}
	case line.Spin:
		return Sentence{w.takeOut(name), w.t.Say("then.dry-waits")}
	}
	return Sentence{Do: w.takeOut(name)}
}

func (w *worder) chore() Sentence {
	trays := w.t.Trays(w.p.Trays)
	if w.p.Act == line.ActClose {
		return Sentence{w.t.Say("do.close"), w.t.Say("then.close")}
	}
	switch {
	case w.p.Act == line.ActFinish:
		return w.choreEnd(trays)
	case w.p.ByHand:
		return Sentence{w.t.Say("by-hand.chore", w.t.Chore(w.p.Chore), trays, w.place(w.p.To)), w.outOfUse(w.p.To)}
	}
	switch w.p.Chore {
	case line.WashTrays:
		return Sentence{w.t.Say("do.wash-trays", trays), w.t.Say("then.alone")}
	case line.SanitizeAll:
		return Sentence{w.t.Say("do.sanitize", w.t.surfaces(w.p.Trays)), w.t.Say("then.contact")}
	case line.SowTrays:
		return Sentence{w.t.Say("do.sow", trays, say.Crop(w.p.Crop)), w.seed()}
	}
	return Sentence{w.t.Say("do.water", w.place(w.p.To)), w.t.Say("then.water")}
}

func (w *worder) choreEnd(trays string) Sentence {
	switch w.p.Chore {
	case line.WashTrays:
		return Sentence{w.t.Say("do.wash-trays-end", trays), w.t.Say("then.pressure")}
	case line.SanitizeAll:
		return Sentence{w.t.Say("do.sanitize-end"), w.t.surfaces(w.p.Trays)}
	case line.SowTrays:
		return Sentence{w.t.Say("do.sow-end", trays, say.Crop(w.p.Crop)), w.seed()}
	}
	return Sentence{w.t.Say("do.water-end", w.place(w.p.From)), w.t.Say("then.full")}
}

func (w *worder) seed() string {
	r, ok := w.s.Recipe(w.p.Crop)
	if !ok || r.SeedG == 0 {
		return ""
	}
	return w.t.Say("then.seed", say.Grams(r.SeedG*float64(w.p.Trays)), say.Grams(r.SeedG))
}

// shortStart and the other tables name the texts by what a prompt is about.
var (
	shortStart = map[line.Kind]string{line.Cut: "short.cut", line.Wash: "short.wash", line.Spin: "short.spin",
		line.Dry: "short.dry", line.Pack: "short.pack"}
	shortEnd = map[line.Kind]string{line.Wash: "short.lift", line.Spin: "short.unload", line.Dry: "short.take-off"}
	choreKey = map[line.ChoreKind]string{line.WashTrays: "short.wash-trays", line.SanitizeAll: "short.sanitize",
		line.SowTrays: "short.sow", line.ChangeWater: "short.water"}
)

// Clauses is a prompt in as few words as can be drawn large: make safe, what to do with
// which batch, where to. What makes safe is in Prompt's sentence too.
func (t *Speaker) Clauses(s *line.State, p *line.Prompt) []string {
	b := s.Batch(p.Batch)
	switch {
	case p.Act == line.ActConfirm:
		return []string{t.confirm(s, p, "short.off", "short.at-setting")}
	case p.ByHand || p.Act == line.ActResume: // out of the usual order: all of it
		return []string{t.Prompt(s, p).Do}
	case b == nil:
		return t.choreClauses(p)
	}
	w := worder{t: t, s: s, p: p, b: b}
	var out []string
	key := "short.finish"
	switch p.Act {
	case line.ActChill:
		key = "short.chill"
	case line.ActMove:
		key = "short.move"
	case line.ActStart:
		key = shortStart[w.kind(p.To)]
	default:
		if k, ok := shortEnd[w.kind(p.From)]; ok {
			key = k
		}
		if safe := w.safe(); safe != "" {
			out = append(out, safe)
		}
	}
	out = append(out, t.Say(key, b.Label()))
	if p.Act == line.ActAdvance {
		switch w.kind(p.To) {
		case line.Spin:
			out = append(out, t.Say("short.into", w.place(p.To)))
		case line.Dry:
			out = append(out, t.Say("short.onto", w.place(p.To)))
		}
	}
	return out
}

// Brief is a prompt as what comes later is named: without what makes safe, which is said
// when it is time.
func (t *Speaker) Brief(s *line.State, p *line.Prompt) string {
	clauses := t.Clauses(s, p)
	if b := s.Batch(p.Batch); len(clauses) > 1 && strings.HasSuffix(clauses[0], ",") {
		text := strings.Join(clauses[1:], " ")
		if b != nil {
			text = strings.Replace(text, t.Batch(b), t.Caps(b), 1)
		}
		return text
	}
	return t.Prompt(s, p).Do
}

// safe is what makes a machine safe before hands are put into it.
func (w *worder) safe() string {
	switch w.kind(w.p.From) {
	case line.Wash:
		return w.t.Say("safe.tub")
	case line.Spin:
		return w.t.Say("safe.spinner", w.place(w.p.From))
	}
	return ""
}

func (t *Speaker) choreClauses(p *line.Prompt) []string {
	if p.Act == line.ActClose {
		return []string{t.Say("short.close")}
	}
	key := choreKey[p.Chore]
	ends := p.Act == line.ActFinish
	what := t.Say(key)
	switch {
	case ends:
		what = t.Say(key + "-end")
	case p.Chore == line.SowTrays:
		what = t.Say(key, say.Crop(p.Crop))
	}
	switch {
	case p.Chore == line.WashTrays && ends:
		return []string{t.Say("safe.washer"), what}
	case p.Chore == line.WashTrays:
		return []string{t.Say("safe.jet"), what}
	case p.Chore == line.SanitizeAll && !ends:
		return []string{t.Say("safe.sanitizer"), what}
	}
	return []string{what}
}

// Busy is work by hand that goes on, as who does it should hear it, and then what ends it.
func (t *Speaker) Busy(s *line.State, p *line.Prompt) (Sentence, []string) {
	q := *p
	if q.To = p.From; q.Batch == 0 {
		q.Act = line.ActChore
	} else {
		q.Act = line.ActStart
	}
	return Sentence{Do: t.Prompt(s, &q).Do, Then: t.Prompt(s, p).Do}, t.Clauses(s, &q)
}
