package line

import (
	"slices"
	"time"
)

// SaleOrder is an order, with what of it has been sold already. It is open until all of it
// is, or what is left is cancelled.
type SaleOrder struct {
	ID       int64
	Customer string
	Crop     string
	Packages int
	Due      string
	NetG     float64
	At       time.Time // when it is due on its day; zero: on that day

	Filled  int     `json:",omitempty"` // packages that went to the customer for it
	FilledG float64 `json:",omitempty"` // and their weight
}

// Rest is what is still to be sold of an order, in packages, or in grams where it is in
// those only.
func (o *SaleOrder) Rest() (packages int, netG float64) {
	if o.Packages > 0 {
		return max(0, o.Packages-o.Filled), 0
	}
	return 0, max(0, o.NetG-o.FilledG)
}

// closed says that nothing is left. A gram is less than any balance of packages shows.
func (o *SaleOrder) closed() bool {
	packages, netG := o.Rest()
	return packages == 0 && netG < 1
}

func (o *SaleOrder) fill(e Sold, sign int) {
	netG := e.NetG
	if netG == 0 && o.Packages == 0 { // of a journal before weights were kept: it filled the order
		netG = o.NetG
	}
	o.Filled += sign * e.Packages
	o.FilledG = max(0, o.FilledG+float64(sign)*netG)
}

// Fill takes a sale into the orders, in place of an earlier one that it corrects: those that
// it fills move to the filled ones, and one that it no longer fills comes back.
func Fill(open, filled []SaleOrder, was, is Sold) (stillOpen, nowFilled []SaleOrder) {
	if was.Order == 0 && is.Order == 0 {
		return open, filled
	}
	var first, last []SaleOrder
	for i, o := range append(slices.Clone(open), filled...) {
		touched := false
		if o.ID == was.Order {
			o.fill(was, -1)
			touched = true
		}
		if o.ID == is.Order && is.Packages > 0 {
			o.fill(is, 1)
			touched = true
		}
		if done := i >= len(open); touched && o.closed() || !touched && done {
			last = append(last, o)
		} else {
			first = append(first, o)
		}
	}
	slices.SortStableFunc(first, func(a, b SaleOrder) int { return int(a.ID - b.ID) })
	if len(last) > KeptSales {
		last = last[len(last)-KeptSales:]
	}
	return first, last
}
