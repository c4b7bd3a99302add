package records

import (
	"time"

	"shedbell/line"
	"shedbell/line/pace"
)

// Detail is every single thing that tables are made of, beside the sums of the reports.
// Who gives a Reader one gives it a learner too: hand work is told by that.
type Detail struct {
	Steps    []StepRan
	Times    []pace.Work // work by hand, as it is learned from
	Loads    []LoadRan
	Airs     []line.AirReading
	Tastings []line.TastingMade
	Orders   []OrderTold
	Counts   []line.Record // of the growing racks
	Thrown   []line.Record // packages thrown away

	on map[int]LoadRan // switched on by hand, by load
}

// StepRan is a step of a batch, or other work, from its start to its end.
type StepRan struct {
	Date          string // of its day
	Step          string // its kind, as records name it
	Station       string
	Batch         int // 0: work on trays, surfaces or water
	Crop          string
	Trays         int
	Start, End    time.Time
	Planned, Held time.Duration // its countdown, 0 for none; and how long it stood still
	By, EndedBy   string
	StoodIn       bool // people stood in for its machine
	Revision      int
}

// LoadRan is a machine's use by a step, or from when to when somebody had it on.
type LoadRan struct {
	Load, Circuit, Setting string
	AmpsA                  float64
	From, To               time.Time // To is zero while it is on
	Held                   time.Duration
	Batch                  int
	Why                    string // step, work or switched
}

// OrderTold is an order with what has become of it.
type OrderTold struct {
	line.SaleOrder
	Cancelled bool
}

// take keeps what belongs to no day.
func (x *Detail) take(r *Reader, rec line.Record) {
	switch e := rec.Event.(type) {
	case line.GrowingCounted:
		x.Counts = append(x.Counts, rec)
	case line.PackagesThrown:
		x.Thrown = append(x.Thrown, rec)
	case line.AirRead:
		x.Airs = append(x.Airs, line.AirReading{Air: e.Air, At: rec.At, By: r.name(rec.By)})
	case line.TastingMade:
		x.Tastings = append(x.Tastings, e)
	case line.OrderTaken:
		x.Orders = append(x.Orders, OrderTold{SaleOrder: line.SaleOrder{ID: rec.Seq, Customer: e.Customer, Crop: e.Crop, Packages: e.Packages, Due: e.Due, NetG: e.NetG, At: e.At}})
	case line.OrderCancelled:
		for i := range x.Orders {
			if x.Orders[i].ID == e.ID {
				x.Orders[i].Cancelled = true
			}
		}
	case line.LoadSwitched:
		if was, on := x.on[e.Load]; on {
			was.To = rec.At
			x.Loads = append(x.Loads, was)
			delete(x.on, e.Load)
		}
		if l, ok := r.loadRan(e.Load, e.Setting); ok && e.On {
			if x.on == nil {
				x.on = map[int]LoadRan{}
			}
			l.From, l.Why = rec.At, "switched"
			x.on[e.Load] = l
		}
	}
}

// end adds what is still on, and what of the orders was sold.
func (x *Detail) end(b *Book) {
	for i := range b.Site.Panel.Loads {
		if l, on := x.on[i]; on {
			x.Loads = append(x.Loads, l)
		}
	}
	sold := map[int64]line.SaleOrder{}
	for i := range b.Sales {
		s := &b.Sales[i].Sold
		o := sold[s.Order]
		o.Filled, o.FilledG = o.Filled+s.Packages, o.FilledG+s.NetG
		sold[s.Order] = o
	}
	for i := range x.Orders {
		o := &x.Orders[i]
		o.Filled, o.FilledG = sold[o.ID].Filled, sold[o.ID].FilledG
	}
}

// loadRan names a load at a setting.
func (r *Reader) loadRan(load, setting int) (out LoadRan, ok bool) {
	p := &r.site.Panel
	if load < 0 || load >= len(p.Loads) {
		return out, false
	}
	l := &p.Loads[load]
	out.Load = l.Name
	if l.Circuit >= 0 && l.Circuit < len(p.Circuits) {
		out.Circuit = p.Circuits[l.Circuit].Name
	}
	if setting >= 0 && setting < len(l.Settings) {
		out.Setting, out.AmpsA = l.Settings[setting].Name, l.Settings[setting].AmpsA
	}
	return out, true
}

// ranStep keeps a step or other work that is over, and its machine's use.
func (d *dayFold) ranStep(s StepRan, u run, row int, rec line.Record) {
	x := d.r.Detail
	if x == nil {
		return
	}
	s.Date, s.Station = d.day.Date, d.day.Stations[row].Name
	s.Start, s.End = time.Unix(0, u.began).In(rec.At.Location()), rec.At
	s.Planned, s.Held, s.StoodIn = time.Duration(u.planned), time.Duration(u.idle), u.hand
	s.By, s.EndedBy = d.r.name(u.by), d.r.name(rec.By)
	x.Steps = append(x.Steps, s)
	if l, ok := d.r.loadRan(u.load, u.setting); ok {
		l.From, l.To, l.Held, l.Batch, l.Why = s.Start, s.End, s.Held, s.Batch, "step"
		if s.Batch == 0 {
			l.Why = "work"
		}
		x.Loads = append(x.Loads, l)
	}
}
