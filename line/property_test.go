package line_test

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
	"shedbell/recipes"
)

// machine drives a line with random commands and, beside it, a second state that
// is made from the records alone, through their JSON. As the two share no memory,
// a Decide or an Apply that changed its input would set them apart.
type machine struct {
	t        *rapid.T
	now      time.Time
	live     *line.State
	replayed *line.State
	before   []*line.State // what undo should come back to
	all      []line.Record
	entered  int             // safety entries
	counted  map[string]bool // crops of which more trays were found than a place holds, perhaps
	told     bool            // facts, which may be too much for a breaker
	plugged  int             // how many actions there were when a plug went somewhere, which no undo changes
}

func TestRandomDays(t *testing.T) {
	accepted := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		m := newMachine(t)
		facts := rapid.Bool().Draw(t, "facts")
		for range 20 + pick(t, 130, "commands") {
			m.now = m.now.Add(drawStep(t))
			c := drawCommand(t, m.live, m.now)
			if facts && pick(t, 6, "fact") == 0 {
				c = drawFact(t, m.live, m.now)
				m.told = true
			}
			if m.put(c) {
				accepted[reflect.TypeOf(c).Name()]++
			}
			m.check()
		}
		m.days()
	})
	t.Logf("accepted: %v", accepted)
}

func newMachine(t *rapid.T) *machine {
	m := &machine{t: t, now: linetest.Morning, counted: map[string]bool{}}
	empty := &line.Site{}
	m.live = line.NewState(empty, recipes.Book{})
	m.replayed = line.NewState(empty, recipes.Book{})
	first := line.Decision{Events: []line.Event{line.FirstRecord(drawSite(t), linetest.Book())}}
	m.record(first.Records(m.live, m.now, "Ash"))
	return m
}

// record applies records to the live state and, by way of JSON, to the other.
func (m *machine) record(records []line.Record) {
	m.all = append(m.all, records...)
	for _, r := range records {
		old := m.live
		m.live = line.Apply(old, r)
		m.same(old, "Apply changed its input")

		name, data, err := line.EncodeEvent(r.Event)
		if err != nil {
			m.t.Fatalf("%T: %v", r.Event, err)
		}
		if r.Event, err = line.DecodeEvent(name, data); err != nil {
			m.t.Fatal(err)
		}
		m.replayed = line.Apply(m.replayed, r)
		m.same(m.live, "the replay differs after "+name)
	}
}

func (m *machine) same(s *line.State, fault string) {
	m.t.Helper()
	if !reflect.DeepEqual(s, m.replayed) {
		m.t.Fatalf("%s:\n%s\n%s", fault, facts(s), facts(m.replayed))
	}
}

// put gives a command to the line and checks what came of it against the state
// before.
func (m *machine) put(c line.Command) bool {
	old := m.live
	d, no := line.Decide(old, c, m.now)
	if no == nil {
		m.t.Logf("%s %T %+v", m.now.Format(time.TimeOnly), c, c)
	}
	m.same(old, "Decide changed its input")
	if no != nil {
		if !strings.HasPrefix(no.Error(), "Not now: ") || no.Rule == "" || len(d.Events) > 0 {
			m.t.Fatalf("%T: refusal %+v, events %v", c, no, d.Events)
		}
		if v := no.Verdict; v != nil {
			for _, part := range []string{v.Circuit, " A now"} {
				if !strings.Contains(no.Error(), part) {
					m.t.Fatalf("%T: refusal without %q: %s", c, part, no.Error())
				}
			}
		}
		return false
	}
	m.record(d.Records(old, m.now, "Ash"))
	m.counts(old, c)
	m.undo(old, c, d)
	m.board(old, c)
	m.entries(old)
	switch c.(type) {
	case line.MakeEntry, line.TickSurface:
		m.entered++
	}
	return true
}

// counts checks that no tray is lost or doubled.
func (m *machine) counts(old *line.State, c line.Command) {
	greens, pool := trays(old)
	switch c := c.(type) {
	case line.Undo:
		return
	case line.OpenDay:
		greens = c.Sheet.Trays()
		pool += greens
	case line.CloseDay:
		greens = 0
		pool -= old.Trays.Sown
	case line.AddTrays:
		greens += c.Demand.Trays
		pool += c.Demand.Trays
	case line.CountTrays:
		m.counted[old.Batch(c.Batch).Crop] = true
		more := c.Trays - old.Batch(c.Batch).Trays
		greens += more
		if chores(old) == 0 { // else what is missing may be in work
			pool = max(pool+more, 0)
		} else {
			_, pool = trays(m.live)
		}
	}
	if g, p := trays(m.live); g != greens || p != pool {
		m.t.Fatalf("%T %+v: %d trays of greens, want %d; %d growing trays, want %d", c, c, g, greens, p, pool)
	}
}

// undo checks an undo against the remembered state, or remembers one.
func (m *machine) undo(old *line.State, c line.Command, d line.Decision) {
	switch c.(type) {
	case line.Undo:
		n := len(m.before) - 1
		if n < 0 {
			return // of before nobody watched, which is told again and not taken back
		}
		want, got := *m.before[n], *m.live
		m.before = m.before[:n]
		want.Seq, want.At, want.LastID, want.ChoreID, want.Acting, want.Ahead = got.Seq, got.At, got.LastID, got.ChoreID, got.Acting, got.Ahead
		want.Entries, want.Marks = got.Entries, got.Marks // nothing takes a safety entry back, nor what was seen of alarms
		want.Site, want.File = got.Site, got.File
		m.stays(old, want.Power, n < m.plugged)
		want.Power, want.PowerPast = got.Power, got.PowerPast
		if n >= m.plugged && facts(&want) != facts(&got) { // a plug since may have stopped a machine
			m.t.Fatalf("undo:\n%s\n%s", facts(&want), facts(&got))
		}
	case line.Recover, line.LayLine:
		m.before, m.plugged = nil, 0
	case line.MarkPlugged:
		m.plugged = len(m.before)
	default:
		if !d.Undo.IsZero() {
			m.before = append(m.before, old)
		}
	}
}

// stays checks that an undo has switched nothing: no circuit carries less than it did
// and no breaker is cooler, and the books say of every machine what they said before
// the action, but for what a plug since has switched. What is in doubt can be started
// again, or said to be as the books say.
func (m *machine) stays(old *line.State, books power.State, plugged bool) {
	s, p, now := m.live, &m.live.Site.Panel, m.live.At
	for c := range p.Circuits {
		if was, is := carried(old, c, now), carried(s, c, now); is < was-1e-9 {
			m.t.Fatalf("an undo took %s from %.2f A to %.2f A", p.Circuits[c].Name, was, is)
		}
		if was, is := p.CircuitOutlook(old.Power, c, now).Heat, p.CircuitOutlook(s.Power, c, now).Heat; is < was-1e-12 {
			m.t.Fatalf("an undo cooled %s from %.6f to %.6f", p.Circuits[c].Name, was, is)
		}
	}
	for i := range p.Loads {
		st := &s.Power.Loads[i]
		setting, on := st.InBooks()
		if wantSetting, wantOn := books.Loads[i].InBooks(); !plugged && (on != wantOn || on && setting != wantSetting) {
			m.t.Fatalf("%s was %+v before the action, after the undo %+v", p.Loads[i].Name, books.Loads[i], *st)
		}
	}
	m.settled(now)
}

// settled checks that everything in doubt is asked about, and that the answers leave
// what the books say.
func (m *machine) settled(now time.Time) {
	s := m.live
	for _, prompt := range line.Prompts(s, now, nil) {
		if prompt.Act != line.ActConfirm {
			continue
		}
		var no *line.Refusal
		if s, _, no = line.Do(s, prompt.Command, now, "Ash"); no != nil {
			m.t.Fatalf("%+v: %s", prompt, no.Error())
		}
		if st := s.Power.Loads[prompt.Load]; st.InDoubt || st.On != (prompt.Setting >= 0) || st.On && st.Setting != prompt.Setting {
			m.t.Fatalf("after the answer to %+v: %+v", prompt, st)
		}
	}
	for i := range s.Power.Loads {
		if st := &s.Power.Loads[i]; st.InDoubt && isOn(s, i, now) && (st.Books != st.Setting || s.LoadUsers(i, line.Nowhere) == 0) {
			m.t.Fatalf("nobody asks about %+v", st)
		}
	}
}

// board checks that nothing but a hand-over changes who acts, and that whoever acts is
// on the line.
func (m *machine) board(old *line.State, c line.Command) {
	want := old.Acting
	if on, ok := c.(line.HandOn); ok {
		want = strings.TrimSpace(on.To)
		if m.live.Actor("nobody", m.live.At) != want {
			m.t.Fatalf("handed on to %q, and %q acts", want, m.live.Actor("nobody", m.live.At))
		}
	}
	if m.live.Acting != want {
		m.t.Fatalf("%T: the board went from %q to %q", c, old.Acting, m.live.Acting)
	}
	if by := m.live.Actor("nobody", m.live.At); len(m.live.Crew) > 0 && !slices.Contains(m.live.Crew, by) {
		m.t.Fatalf("%s acts, and on the line are %v", by, m.live.Crew)
	}
}

// facts is everything that the state says, without the way back.
func facts(s *line.State) string {
	data, err := json.Marshal(s)
	if err != nil {
		return err.Error()
	}
	return string(data)
}

// check holds the state against what must be true of every one.
func (m *machine) check() {
	s := m.live
	now := m.now
	if now.Before(s.At) {
		now = s.At
	}
	doubt := m.told || inDoubt(s, now) // what was really on may be more than may be
	for c, circuit := range s.Site.Panel.Circuits {
		if a := carried(s, c, now); a > circuit.RatingA+1e-9 && !doubt {
			m.t.Fatalf("%s carries %.2f of %.4g A", circuit.Name, a, circuit.RatingA)
		}
	}
	for i, l := range s.Site.Panel.Loads {
		for j, o := range s.Site.Panel.Loads {
			if !doubt && i != j && l.Alone && isOn(s, i, now) && !o.StaysOn && !o.Cycles && isOn(s, j, now) {
				m.t.Fatalf("%s is on beside %s", o.Name, l.Name)
			}
		}
	}
	m.places()
	m.machines()
	m.advice(now)
}

func (m *machine) places() {
	s := m.live
	held := map[line.Place]bool{}
	take := func(p line.Place) {
		if held[p] || p.Station < 0 || p.Station >= len(s.Site.Stations) || p.Slot < 0 || p.Slot >= s.Site.Stations[p.Station].Slots {
			m.t.Fatalf("place %v holds two or does not exist", p)
		}
		held[p] = true
	}
	ids := map[int]bool{}
	names := map[string]bool{}
	for i := range s.Batches {
		b := &s.Batches[i]
		if ids[b.ID] || names[b.Name()] || b.ID > s.LastID || b.Trays < 0 || b.Trays == 0 && b.Fate != line.Merged || b.WetSoFar < 0 {
			m.t.Fatalf("batch %+v", b)
		}
		ids[b.ID], names[b.Name()] = true, true
		if b.Fate != line.OnLine {
			if b.Step.Place != line.Nowhere || !b.WetSince.IsZero() {
				m.t.Fatalf("off the line, yet %+v", b)
			}
			continue
		}
		take(b.Step.Place)
		if st := s.Site.Stations[b.Step.Place.Station]; b.Trays > st.SlotTrays && !m.counted[b.Crop] {
			m.t.Fatalf("%s: %d trays in a place for %d", b.Name(), b.Trays, st.SlotTrays)
		}
	}
	for i := range s.Chores {
		take(s.Chores[i].Step.Place)
	}
	if p := s.Trays; min(p.Dirty, p.Washed, p.Sanitized, p.Sown, s.SowLeft()) < 0 {
		m.t.Fatalf("trays %+v", p)
	}
}

// machines checks that a running step's machine is on at the step's setting.
func (m *machine) machines() {
	s := m.live
	each := func(step *line.Step) {
		if step.Load == line.NoLoad || step.Progress != line.Running {
			return
		}
		st := s.Power.Loads[step.Load]
		if setting, on := st.InBooks(); !st.On || !on || setting != step.Setting {
			m.t.Fatalf("step %+v runs, its machine is %+v", step, st)
		}
	}
	for i := range s.Batches {
		if s.Batches[i].Fate == line.OnLine {
			each(&s.Batches[i].Step)
		}
	}
	for i := range s.Chores {
		each(&s.Chores[i].Step)
	}
}

func (m *machine) advice(now time.Time) {
	for _, p := range line.Prompts(m.live, now, nil) {
		if _, no := line.Decide(m.live, p.Command, now); p.Ready(now) && no != nil {
			m.t.Fatalf("prompt %+v is ready and refused: %s", p, no.Error())
		}
	}
	seen := map[line.AlarmID]bool{}
	alarms := line.Alarms(m.live, now)
	for i := range alarms {
		a := &alarms[i]
		if seen[a.ID()] || a.Priority < line.Urgent || a.Priority > line.Note || a.Since.After(now) || a.Since.IsZero() {
			m.t.Fatalf("alarm %+v", a)
		}
		seen[a.ID()] = true
	}
	if again := line.Alarms(m.replayed, now); !reflect.DeepEqual(alarms, again) {
		m.t.Fatalf("alarms %+v and then %+v", alarms, again)
	}
}

// Days on lines that are each laid after the last: the records account for every day
// with its own line, whatever that is called and however many stations it has.
func TestDaysOnChangingLines(t *testing.T) {
	laid, open := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		m := newMachine(t)
		for range 2 {
			for range 5 + pick(t, 12, "commands") {
				m.now = m.now.Add(drawStep(t))
				m.put(drawCommand(t, m.live, m.now))
			}
			m.empty()
			if rapid.Bool().Draw(t, "closes") {
				m.put(line.CloseDay{})
			}
			if m.put(line.LayLine{Site: *drawSite(t)}) {
				laid++
				if m.live.Sheet != nil {
					m.put(line.AddTrays{Demand: drawDemand(t)})
					open++
				}
			}
		}
		m.days()
	})
	if laid == 0 || open == 0 {
		t.Errorf("%d lines were laid, %d of them on an open day", laid, open)
	}
}

// empty takes everything off the line and switches everything off.
func (m *machine) empty() {
	for i := range m.live.Batches {
		m.put(line.Scrap{Batch: m.live.Batches[i].ID, Reason: "end of the test"})
	}
	for range 100 {
		m.now = m.now.Add(time.Hour)
		if len(m.live.Chores) > 0 {
			m.put(line.Resume{At: m.live.Chores[0].Step.Place})
			m.put(line.Finish{At: m.live.Chores[0].Step.Place})
			continue
		}
		ps := line.Prompts(m.live, m.now, nil)
		if len(ps) == 0 || m.live.DayDone() || !m.put(ps[0].Command) {
			break
		}
	}
	for i := range m.live.Site.Panel.Loads {
		m.put(line.SwitchOff{Load: i})
	}
}
