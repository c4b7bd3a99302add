package line

import (
	"shedbell/line/say"
	"slices"
	"strings"
	"time"
)

// MostPackages is more than a small shed packs of one lot.
const MostPackages = 10000

// Sell writes down to whom packages of a lot went, one step forward in the trace.
type Sell struct {
	Lot       string
	Customer  string
	Packages  int
	Reference string // number of the invoice or delivery note
	Order     int64  // the order that this fills; 0: none
	Corrects  int64  // number of an earlier sale that this one puts right; with 0 packages it takes it back
}

// Sold is packages of a lot that went to a customer. Its number is its record's.
type Sold struct {
	Lot       string
	Crop      string
	Customer  string
	Packages  int
	Reference string `json:",omitempty"`
	Order     int64  `json:",omitempty"`
	Corrects  int64  `json:",omitempty"`

	NetG float64 `json:",omitempty"` // of the packages, as their lot was weighed or by the recipe
}

// TakeOrder writes down what a customer wants on a day to come.
type TakeOrder struct {
	Customer string
	Crop     string
	Packages int
	Due      string    // ISO 8601 calendar date
	NetG     float64   // in place of packages
	At       time.Time // when it is due on its day; zero: on that day
}

// CancelOrder takes an order back.
type CancelOrder struct{ ID int64 }

// OrderTaken is an order. Its number is its record's.
type OrderTaken struct {
	Customer string
	Crop     string
	Packages int
	Due      string
	NetG     float64   `json:",omitempty"`
	At       time.Time `json:",omitzero"`
}

// OrderCancelled takes it back.
type OrderCancelled struct{ ID int64 }

// Sale is what the state keeps of a sale.
type Sale struct {
	Seq  int64
	At   time.Time
	By   string
	Sold Sold
}

// KeptSales bounds the sales in the state; the journal holds all.
const KeptSales = 1000

// LotLeft is how many packages of a lot are not sold; false for a lot that was not
// packed or is so old that only the journal knows it.
func (s *State) LotLeft(lot string) (left int, ok bool) {
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Lot == lot && lot != "" && b.Fate != Merged && b.Fate != Scrapped {
			left, ok = left+b.Packages, true
		}
	}
	for i := range s.Past {
		if s.Past[i].Ran.Lot == lot && lot != "" {
			left, ok = left+s.Past[i].Packages, true
		}
	}
	return left - s.gone(lot), ok
}

// gone is how many packages of a lot were sold or thrown away.
func (s *State) gone(lot string) (packages int) {
	for i := range s.Sales {
		if s.Sales[i].Sold.Lot == lot {
			packages += s.Sales[i].Sold.Packages
		}
	}
	for i := range s.Thrown {
		if s.Thrown[i].Lot == lot {
			packages += s.Thrown[i].Packages
		}
	}
	return packages
}

// lotOf is the crop of a lot, and what one of its packages weighs.
func (s *State) lotOf(lot string) (crop string, packageG float64) {
	packages, netG := 0, 0.0
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Lot == lot {
			if crop = b.Crop; b.NetG > 0 {
				packages, netG = packages+b.Packages, netG+b.NetG
			}
		}
	}
	for i := range s.Past {
		if p := &s.Past[i]; p.Ran.Lot == lot {
			if crop = p.Ran.Crop; p.NetG > 0 {
				packages, netG = packages+p.Packages, netG+p.NetG
			}
		}
	}
	if packages > 0 && netG > 0 {
		return crop, netG / float64(packages)
	}
	r, _ := s.Recipe(crop)
	return crop, r.PackageG
}

func (c Sell) decide(d *draft) *Refusal {
	e := Sold{Lot: strings.TrimSpace(c.Lot), Customer: strings.TrimSpace(c.Customer), Packages: c.Packages,
		Reference: strings.TrimSpace(c.Reference), Order: c.Order, Corrects: c.Corrects}
	left, ok := d.s.LotLeft(e.Lot)
	if !ok {
		return refuse(RuleUnknown, "line.no-lot", printable(e.Lot))
	}
	var packageG float64
	e.Crop, packageG = d.s.lotOf(e.Lot)
	e.NetG = packageG * float64(e.Packages)
	if c.Corrects != 0 {
		was, ok := d.s.saleNo(c.Corrects)
		if !ok || was.Lot != e.Lot {
			return refuse(RuleUnknown, "line.no-sale", c.Corrects)
		}
		left += was.Packages
		if e.Order == 0 {
			e.Order = was.Order
		}
	}
	if no := d.orderFits(c.Order, e.Crop); no != nil {
		return no
	}
	switch {
	case e.Customer == "" || unfit(e.Customer) || unfit(e.Reference):
		return refuse(RuleValue, "line.sale-who")
	case e.Packages < 0 || e.Packages == 0 && c.Corrects == 0 || e.Packages > MostPackages:
		return refuse(RuleValue, "line.packages-range", e.Packages, MostPackages)
	case e.Packages > left:
		return refuse(RuleValue, "line.packages-left", e.Lot, left, e.Packages)
	}
	d.undo = say.New("undo.sale", say.Person(e.Customer))
	d.emit(e)
	return nil
}

func (d *draft) orderFits(id int64, crop string) *Refusal {
	if id == 0 {
		return nil
	}
	i := slices.IndexFunc(d.s.Orders, func(o SaleOrder) bool { return o.ID == id })
	switch {
	case i < 0:
		return refuse(RuleUnknown, "line.no-order", id)
	case d.s.Orders[i].Crop != crop:
		return refuse(RuleOrder, "line.order-crop", id, say.Crop(d.s.Orders[i].Crop), say.Crop(crop))
	}
	return nil
}

func (c TakeOrder) decide(d *draft) *Refusal {
	e := OrderTaken{Customer: strings.TrimSpace(c.Customer), Crop: c.Crop, Packages: c.Packages, Due: c.Due, NetG: c.NetG, At: c.At}
	if !c.At.IsZero() {
		e.Due = c.At.Format(time.DateOnly)
		c.Due = e.Due
	}
	_, err := time.Parse(time.DateOnly, c.Due)
	switch {
	case e.Customer == "" || unfit(e.Customer):
		return refuse(RuleValue, "line.order-who")
	case (e.NetG == 0 && e.Packages < 1) || e.Packages < 0 || e.Packages > MostPackages || !(e.NetG >= 0 && e.NetG <= mostNetG):
		return refuse(RuleValue, "line.packages-range", e.Packages, MostPackages)
	case !writable(e.At), !e.At.IsZero() && !e.At.After(d.now):
		return refuse(RuleValue, "line.due-soon", say.Crop(printable(e.Crop)))
	case err != nil || c.Due < d.now.Format(time.DateOnly) || c.Due > d.now.AddDate(2, 0, 0).Format(time.DateOnly):
		return refuse(RuleValue, "line.order-due", printable(c.Due))
	case len(d.s.Orders) >= KeptSales:
		return refuse(RuleValue, "line.orders-full", len(d.s.Orders))
	}
	if _, ok := d.s.Recipe(c.Crop); !ok {
		return refuse(RuleUnknown, "line.no-recipe", say.Crop(printable(c.Crop)))
	}
	if d.s.dueToday(&SaleOrder{Due: e.Due, At: e.At}) && !slices.ContainsFunc(d.s.Batches, func(b Batch) bool { return b.Crop == e.Crop && b.Fate <= Cold }) {
		return refuse(RuleNothing, "line.none-in", say.Crop(printable(e.Crop)))
	}
	d.undo = say.New("undo.order", say.Person(e.Customer))
	d.emit(e)
	return nil
}

// dueToday says whether an order is due at a time of the open day.
func (s *State) dueToday(o *SaleOrder) bool {
	if s.Sheet == nil || o.At.IsZero() {
		return false
	}
	return o.Due == s.Opened.Format(time.DateOnly) || o.Due == s.At.Format(time.DateOnly)
}

func (c CancelOrder) decide(d *draft) *Refusal {
	if !slices.ContainsFunc(d.s.Orders, func(o SaleOrder) bool { return o.ID == c.ID }) {
		return refuse(RuleNothing, "line.no-open-order", c.ID)
	}
	d.undo = say.New("undo.cancel-order")
	d.emit(OrderCancelled(c))
	return nil
}

func (e Sold) apply(s *State, r Record) {
	kept := s.Sales
	if len(kept) >= KeptSales {
		kept = kept[len(kept)-KeptSales+1:]
	}
	was, _ := s.saleNo(e.Corrects)
	kept = slices.DeleteFunc(slices.Clone(kept), func(o Sale) bool { return e.Corrects != 0 && o.Seq == e.Corrects })
	s.Sales = append(kept, Sale{Seq: r.Seq, At: r.At, By: r.By, Sold: e})
	s.Orders, s.FilledOrders = Fill(s.Orders, s.FilledOrders, was, e)
}

// saleNo is a sale that is kept, by the number of its record.
func (s *State) saleNo(seq int64) (Sold, bool) {
	if i := slices.IndexFunc(s.Sales, func(o Sale) bool { return seq != 0 && o.Seq == seq }); i >= 0 {
		return s.Sales[i].Sold, true
	}
	return Sold{}, false
}

func (e OrderTaken) apply(s *State, r Record) {
	s.Orders = append(slices.Clone(s.Orders), SaleOrder{ID: r.Seq, Customer: e.Customer, Crop: e.Crop, Packages: e.Packages, Due: e.Due, NetG: e.NetG, At: e.At})
}

func (e OrderCancelled) apply(s *State, _ Record) { s.closeOrder(e.ID) }

func (s *State) closeOrder(id int64) {
	s.Orders = slices.DeleteFunc(slices.Clone(s.Orders), func(o SaleOrder) bool { return o.ID == id })
}
