package powerui

import (
	"math"
	"time"

	"shedbell/line"
	"shedbell/power"
	"shedbell/ui/screen"
)

// pastSpan is how far back the charts look.
const pastSpan = time.Hour

// past is what flowed in the last hour, taken from the day's records, each of which
// is applied once.
type past struct {
	first int64 // number of the first record
	seen  int   // records applied
	state *line.State
	spans []span // oldest first

	width int
	next  int64 // index of the first column that may still change
	cols  map[int64][]level
}

// span is the wiring between two records that switch something.
type span struct {
	from  time.Time
	site  *line.Site
	power power.State
	laid  bool // the line file was taken over: what is on has not just started
}

// level is the most that flowed on a circuit in one column of a chart, in amperes.
type level struct {
	known   bool // the records reach back that far
	running float64
	peak    float64 // with machines that were starting
}

// read takes over the records that are new.
func (h *past) read(env *screen.Env) {
	records := env.History
	if len(records) == 0 {
		*h = past{}
		return
	}
	if records[0].Seq != h.first || len(records) < h.seen || h.state == nil {
		h.begin(env, records[0])
	}
	for _, r := range records[h.seen:] {
		was := h.state
		h.state = line.Apply(was, r)
		if h.state.Site != was.Site || switched(&was.Power, &h.state.Power) {
			h.spans = append(h.spans, span{r.At, h.state.Site, h.state.Power, h.state.Site != was.Site})
		}
	}
	h.seen = len(records)
	old := 0
	for old+1 < len(h.spans) && env.Now.Sub(h.spans[old+1].from) > pastSpan+time.Minute {
		old++
	}
	h.spans = h.spans[old:]
}

func (h *past) begin(env *screen.Env, first line.Record) {
	state := env.Before
	if state == nil {
		state = line.NewState(env.State.Site, env.State.Book)
	}
	from := state.At
	if from.IsZero() {
		from = first.At
	}
	*h = past{first: first.Seq, state: state, spans: []span{{from, state.Site, state.Power, true}}}
}

// switched says whether two states differ in what is on. A state shares what it did
// not change with the one before it.
func switched(a, b *power.State) bool {
	return len(a.Loads) != len(b.Loads) || len(a.Loads) > 0 && &a.Loads[0] != &b.Loads[0]
}

// columns is the last hour in that many columns, the last of them being now. What
// is over does not change any more and is worked out once.
func (h *past) columns(now time.Time, site *line.Site, width int) [][]level {
	each := pastSpan / time.Duration(width)
	last := now.UnixNano() / int64(each)
	if h.width != width || h.cols == nil {
		h.width, h.cols, h.next = width, map[int64][]level{}, math.MinInt64
	}
	out := make([][]level, width)
	for i := range out {
		k := last - int64(width-1-i)
		if col, ok := h.cols[k]; !ok || k >= h.next || len(col) != len(site.Panel.Circuits) {
			from := time.Unix(0, k*int64(each))
			h.cols[k] = h.column(from, from.Add(each), now, site)
		}
		out[i] = h.cols[k]
	}
	h.next = last
	if len(h.cols) > 4*width {
		for k := range h.cols {
			if k <= last-int64(width) {
				delete(h.cols, k)
			}
		}
	}
	return out
}

// column works out what flowed from one instant to another. Between two records a
// circuit's current only falls, so its beginning is the most.
func (h *past) column(from, to, now time.Time, site *line.Site) []level {
	out := make([]level, len(site.Panel.Circuits))
	for i := range h.spans {
		s := &h.spans[i]
		if !s.from.Before(to) || s.from.After(now) || i+1 < len(h.spans) && !h.spans[i+1].from.After(from) {
			continue
		}
		at := s.from
		if at.Before(from) {
			at = from
		}
		p := &s.site.Panel
		for c := range out {
			was := c
			if s.site != site {
				var ok bool
				if was, ok = p.CircuitByName(site.Panel.Circuits[c].Name); !ok {
					continue
				}
			}
			running := p.Running(s.power, was, at)
			out[c].known = true
			out[c].running = max(out[c].running, running)
			if peak := running + p.Starting(s.power, was, at); !s.laid {
				out[c].peak = max(out[c].peak, peak)
			}
		}
	}
	return out
}
