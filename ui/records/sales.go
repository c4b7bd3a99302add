package recordsui

import (
	"slices"
	"strconv"
	"time"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/ui/field"
	"shedbell/ui/screen"
)

// What is written down beside the safety entries: who got which lot, who wants
// what, and what was changed.
var (
	keySell   = screen.Bind("6", "records.do-sell", "6")
	keyOrder  = screen.Bind("7", "records.do-order", "7")
	keyCancel = screen.Bind("8", "records.do-cancel", "8")
	keyChange = screen.Bind("6", "records.do-mark", "6")
)

// saleForm begins with all that is left of the lot, for whoever waits longest for
// its crop, else for the last customer.
func saleForm(env *screen.Env, l *records.Lot) *form {
	left, _ := env.State.LotLeft(l.Code)
	who := customers(env.State, l.Crop)
	f := &form{title: env.Words.Say("records.sale-title", l.Code, l.Crop), foot: "records.sale-foot"}
	f.blanks = []blank{
		{name: env.Words.Say("records.customer"), f: field.Field{Kind: field.Words}, choices: who, needed: true},
		{name: env.Words.Say("records.packages"), f: field.Field{Kind: field.Whole, Text: strconv.Itoa(left)}, needed: true},
		{name: env.Words.Say("records.invoice"), f: field.Field{Kind: field.Words}},
	}
	if len(who) > 0 {
		f.blanks[0].f.Text = who[0]
	}
	code, crop := l.Code, l.Crop
	f.make = func(env *screen.Env) line.Command {
		c := line.Sell{Lot: code, Customer: f.blanks[0].f.Text, Reference: f.blanks[2].f.Text}
		c.Packages, _ = strconv.Atoi(f.blanks[1].f.Text)
		for _, o := range env.State.Orders {
			if o.Customer == c.Customer && o.Crop == crop && o.Packages <= c.Packages && c.Order == 0 {
				c.Order = o.ID // the oldest that this fills
			}
		}
		return c
	}
	return f
}

// customers are those with an open order for the crop, the one that is due first in
// front, then those who bought last. Without a crop it is everybody.
func customers(s *line.State, crop string) []string {
	orders := slices.Clone(s.Orders)
	slices.SortStableFunc(orders, func(a, b line.SaleOrder) int {
		switch {
		case a.Due < b.Due:
			return -1
		case a.Due > b.Due:
			return 1
		}
		return 0
	})
	var out []string
	add := func(name string) {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	for _, o := range orders {
		if crop == "" || o.Crop == crop {
			add(o.Customer)
		}
	}
	for i := len(s.Sales) - 1; i >= 0; i-- {
		add(s.Sales[i].Sold.Customer)
	}
	return out
}

// orderForm begins with a week from now.
func orderForm(env *screen.Env) *form {
	who, crops := customers(env.State, ""), env.State.Book.Crops()
	f := &form{title: env.Words.Say("records.order-title"), foot: "records.order-foot"}
	f.blanks = []blank{
		{name: env.Words.Say("records.customer"), f: field.Field{Kind: field.Words}, choices: who, needed: true},
		{name: env.Words.Say("records.crop"), f: field.Field{}, choices: crops, fixed: true},
		{name: env.Words.Say("records.packages"), f: field.Field{Kind: field.Whole}, needed: true},
		{name: env.Words.Say("records.due"), f: field.Field{Text: env.Now.AddDate(0, 0, 7).Format(time.DateOnly)}, choices: nextDays(env.Now), fixed: true},
	}
	if len(who) > 0 {
		f.blanks[0].f.Text, f.at = who[0], 1
	}
	if len(crops) > 0 {
		f.blanks[1].f.Text = crops[0]
	}
	f.make = func(*screen.Env) line.Command {
		c := line.TakeOrder{Customer: f.blanks[0].f.Text, Crop: f.blanks[1].f.Text, Due: f.blanks[3].f.Text}
		c.Packages, _ = strconv.Atoi(f.blanks[2].f.Text)
		return c
	}
	return f
}

// nextDays are the days that an order may be due on.
func nextDays(now time.Time) []string {
	const weeks = 8
	out := make([]string, 0, weeks*7)
	for i := range weeks * 7 {
		out = append(out, now.AddDate(0, 0, i).Format(time.DateOnly))
	}
	return out
}

// cancelForm takes an open order back.
func cancelForm(env *screen.Env) *form {
	var names []string
	for _, o := range env.State.Orders {
		names = append(names, env.Words.Say("records.order", o.ID, o.Customer, o.Packages, o.Crop, o.Due))
	}
	f := &form{title: env.Words.Say("records.cancel-title"), foot: "records.order-foot"}
	f.blanks = []blank{{name: env.Words.Say("records.which"), f: field.Field{Text: names[0]}, choices: names, fixed: true}}
	orders := env.State.Orders
	f.make = func(*screen.Env) line.Command {
		return line.CancelOrder{ID: orders[max(0, slices.Index(names, f.blanks[0].f.Text))].ID}
	}
	return f
}

// changeKeys are the changes that are offered; a text of one's own can be typed.
var changeKeys = []string{"records.change-basket", "records.change-screen", "records.change-tub", "records.change-person", "records.change-order"}

// markForm writes a change down, so that it stands on the time axis.
func markForm(env *screen.Env) *form {
	var offered []string
	for _, key := range changeKeys {
		offered = append(offered, env.Words.Say(key))
	}
	f := &form{title: env.Words.Say("records.mark-title"), foot: "records.mark-foot"}
	f.blanks = []blank{{name: env.Words.Say("records.changed"), f: field.Field{Kind: field.Words, Text: offered[0]}, choices: offered, needed: true}}
	f.make = func(*screen.Env) line.Command { return line.AddMark{Text: f.blanks[0].f.Text} }
	return f
}

// noSale says why the marked lot cannot be sold; empty when it can.
func (s *Screen) noSale(env *screen.Env) string {
	l, ok := s.markedLot()
	if !ok {
		return ""
	}
	switch left, known := env.State.LotLeft(l.Code); {
	case !known:
		return "records.lot-old"
	case left <= 0:
		return "records.lot-gone"
	}
	return ""
}

func (s *Screen) markedLot() (records.Lot, bool) {
	lots := s.lotList()
	if len(lots) == 0 {
		return records.Lot{}, false
	}
	return lots[min(s.marked[pageLots], len(lots)-1)], true
}
