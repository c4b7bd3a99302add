package plan

import (
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
)

// Impossible is the answer for a day that cannot be done as it is asked for. Each
// demand is a sentence that names who asks for what and what stands against it.
type Impossible struct{ Demands []say.Sentence }

func (e *Impossible) Error() string {
	return e.Says().String()
}

// Says is the answer with its values apart.
func (e *Impossible) Says() say.Sentence {
	return say.New("plan-why.this-day-cannot-done", say.Join(e.Demands, "; "))
}

func (e *Impossible) add(demand say.Sentence) {
	same := func(d say.Sentence) bool { return d.String() == demand.String() }
	if !slices.ContainsFunc(e.Demands, same) {
		e.Demands = append(e.Demands, demand)
	}
}

// shortest is when a job would be over at the earliest if it were alone.
func (m *Model) shortest(j int) int {
	t := 0
	for k := range m.jobs[j].stages {
		st := &m.jobs[j].stages[k]
		if st.in != none {
			t += m.least(st.in)
		}
		t += st.run
		for _, o := range st.work {
			t += m.least(o)
		}
		if st.out != none {
			t += m.least(st.out)
		}
	}
	return t
}

// rivals names the other batches with a due time no later than a late one's end.
func (m *Model) rivals(s *schedule, late int) string {
	var names []string
	for j := range m.jobs {
		if j != late && m.jobs[j].due != none && m.jobs[j].due <= m.jobs[late].due {
			names = append(names, m.jobs[j].name)
		}
	}
	return strings.Join(names, ", ")
}

// minuteAfter is the first full minute from an instant on, so that what is late by
// seconds does not look as if it were in time.
func minuteAfter(t time.Time) say.Time {
	if up := t.Truncate(time.Minute); up.Before(t) {
		t = up.Add(time.Minute)
	}
	return say.Time(t)
}

// lateDemands says which due times a plan misses, and what stands against them.
func (p *Plan) lateDemands() *Impossible {
	m := p.m
	var no Impossible
	for j := range m.jobs {
		jb := &m.jobs[j]
		over := m.over(p.s, j)
		if jb.due == none || over <= jb.due {
			continue
		}
		due := say.Time(m.instant(jb.due))
		if least := m.shortest(j); least > jb.due {
			no.add(say.New("plan-why.due-but-even-alone", jb.name, due, minuteAfter(m.instant(least))))
			continue
		}
		rivals := say.New("plan-why.rest-work")
		if names := m.rivals(p.s, j); names != "" {
			rivals = say.New("", names)
		}
		no.add(say.New("plan-why.due-cold-way", jb.name, due, minuteAfter(m.instant(over)), rivals))
	}
	if len(no.Demands) == 0 {
		return nil
	}
	return &no
}
