package recordsui

import (
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/say"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// saleDraft begins with all that is left of the lot, for whoever waits longest for
// its crop, else for the last customer.
func saleDraft(env *screen.Env, l *records.Lot) *draft {
	left, _ := env.State.LotLeft(l.Code)
	code, crop := l.Code, l.Crop
	d := &draft{foot: "records.sale-foot"}
	d.form = form.New(env, env.Words.Say("records.sale-title", code, crop), "",
		form.Row{Name: "invoice", Label: "records.invoice", Kind: form.Text, Optional: true},
		customerRow(env, crop),
		form.Row{Name: "packages", Label: "records.packages", Kind: form.Whole, Filled: form.Num(float64(left)), Min: 1, Max: float64(left)})
	d.form.Go("packages")
	if len(customers(env.State, crop)) == 0 {
		d.form.Go("customer")
	}
	d.make = func(env *screen.Env) line.Command {
		c := line.Sell{Lot: code, Customer: d.form.Text("customer"), Packages: d.form.Int("packages"), Reference: d.form.Text("invoice")}
		for _, o := range env.State.Orders {
			if o.Customer == c.Customer && o.Crop == crop && c.Order == 0 {
				c.Order = o.ID // the oldest; what it does not fill stays open
			}
		}
		return c
	}
	return d
}

// thrownDraft is packages of a lot that were thrown away.
func thrownDraft(env *screen.Env, l *records.Lot) *draft {
	left, _ := env.State.LotLeft(l.Code)
	code := l.Code
	d := &draft{foot: "records.thrown-foot"}
	d.form = form.New(env, env.Words.Say("records.thrown-title", code, l.Crop), "",
		form.Row{Name: "packages", Label: "records.packages", Kind: form.Whole, Filled: form.Num(float64(left)), Min: 1, Max: float64(left)},
		form.Row{Name: "why", Label: "records.thrown-why", Kind: form.Text})
	d.make = func(*screen.Env) line.Command {
		return line.ThrowAway{Lot: code, Packages: d.form.Int("packages"), Why: d.form.Text("why")}
	}
	return d
}

// customerRow asks for one who is known, or for a name.
func customerRow(env *screen.Env, crop string) form.Row {
	who := customers(env.State, crop)
	if len(who) == 0 {
		return form.Row{Name: "customer", Label: "records.customer", Kind: form.Text}
	}
	return form.Row{Name: "customer", Label: "records.customer", Kind: form.Choice, Choices: who, Own: "records-does.or-type", Default: form.Num(0)}
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

// orderDraft begins with a week from now.
func orderDraft(env *screen.Env) *draft {
	d := &draft{foot: "records.order-foot"}
	d.form = form.New(env, "records.order-title", "",
		customerRow(env, ""),
		form.Row{Name: "crop", Label: "records.crop", Kind: form.Choice, Choices: env.State.Book.Crops(), Default: form.Num(0)},
		form.Row{Name: "due", Label: "records.due", Kind: form.Choice, Choices: nextDays(env.Now), Default: form.Num(7)},
		form.Row{Name: "at", Label: "records.due-at", Kind: form.TimeOfDay, Optional: true},
		form.Row{Name: "packages", Label: "records.packages", Kind: form.Whole, Max: line.MostPackages, Optional: true},
		form.Row{Name: "weight", Label: "records.or-weight", Kind: form.Weight, Optional: true, When: func(f *form.Form) bool { return f.Int("packages") == 0 }})
	d.make = func(env *screen.Env) line.Command {
		c := line.TakeOrder{Customer: d.form.Text("customer"), Crop: d.form.Text("crop"), Due: d.form.Text("due"), Packages: d.form.Int("packages")}
		if c.Packages == 0 {
			c.NetG, _ = d.form.Number("weight")
		}
		day, _ := d.form.Choice("due")
		if clock, ok := d.form.TimeOfDay("at"); ok && day == 0 {
			c.At = screen.Today(clock, env.Now)
		} else if ok {
			y, m, last := env.Now.AddDate(0, 0, day).Date()
			c.At = time.Date(y, m, last, int(clock.Hours()), int(clock.Minutes())%60, 0, 0, env.Now.Location())
		}
		return c
	}
	return d
}

// cancelDraft takes an open order back.
func cancelDraft(env *screen.Env) *draft {
	var names []string
	orders := env.State.Orders
	for _, o := range orders {
		names = append(names, env.Words.Say("records.order", o.ID, o.Customer, env.Words.Rest(&o), say.Crop(o.Crop), env.Words.DueAt(o.Due, o.At)))
	}
	d := &draft{foot: "records.order-foot"}
	d.form = form.Ask(env, "records.cancel-title", "", form.Row{Name: "order", Label: "records.which", Kind: form.Choice, Choices: names, Default: form.Num(0)})
	d.make = func(*screen.Env) line.Command {
		i, _ := d.form.Choice("order")
		return line.CancelOrder{ID: orders[i].ID}
	}
	return d
}

// changeKeys are the changes that are offered; a text of one's own can be typed.
var changeKeys = []string{"records.change-basket", "records.change-screen", "records.change-tub", "records.change-person", "records.change-order"}

// markDraft writes a change down, so that it stands on the time axis.
func markDraft(env *screen.Env) *draft {
	d := &draft{foot: "records.mark-foot"}
	d.form = form.Ask(env, "records.mark-title", "", form.Row{Name: "change", Label: "records.changed", Kind: form.Choice, Choices: changeKeys,
		Own: "records-does.or-type", Default: form.Num(0)})
	d.make = func(*screen.Env) line.Command { return line.AddMark{Text: d.form.Text("change")} }
	return d
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
