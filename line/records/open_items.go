package records

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// OpenItem is something in the safety records that somebody still has to answer.
type OpenItem struct {
	At   time.Time
	Seq  int64 // of the entry that it is about; 0: about a day
	What say.Sentence
}

// OpenItems lists what is open, the oldest first: readings past a limit and products past
// their date that no corrective action answers, and days of work that nobody has reviewed.
// The day that is still open waits for its review.
func (b *Book) OpenItems() []OpenItem {
	var out []OpenItem
	reviewed := map[string]bool{}
	for _, l := range b.Safety() {
		if l.Entry.Kind == line.EntryReview {
			reviewed[l.Entry.Day] = true
		}
		if len(l.Answers) > 0 {
			continue
		}
		add := func(what say.Sentence) { out = append(out, OpenItem{l.Entry.Made, l.Seq, what}) }
		for i := range l.Beside {
			if x := &l.Beside[i]; x.Past {
				id := "report-open.over"
				if x.Limit.Bound == line.AtLeast {
					id = "report-open.under"
				}
				add(say.New(id, l.Entry.Kind.Title(), x.Value, x.Limit.Unit.Says(), x.Limit.Value, x.Limit.SaysSource()))
			}
		}
		limits := b.SiteAt(l.Seq).Limits
		if s, expired := limits.Expired(&l.Entry); expired {
			add(say.New("report-open.expired", s.Name, s.Expires))
		}
	}
	for i := range b.Days {
		if d := &b.Days[i]; !d.Open && d.Batches > 0 && !reviewed[d.Date] {
			out = append(out, OpenItem{At: d.Closed, What: say.New("report-open.no-review", d.Date)})
		}
	}
	slices.SortStableFunc(out, func(x, y OpenItem) int { return cmp.Or(x.At.Compare(y.At), cmp.Compare(x.Seq, y.Seq)) })
	return out
}
