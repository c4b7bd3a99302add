package line_test

import (
	"slices"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// An order for what is in already is brought by what is furthest, and that is due then;
// what it does not need is not; what is scrapped is made up for by the next.
func TestOrderForToday(t *testing.T) {
	s := crewed(t, "Ash", "Rowan") // pea: two batches of three trays, 300 g a tray, packages of 125 g
	due := minutes(120)
	dues := func() (out []int) {
		for i := range s.Batches {
			if !s.Batches[i].Due.IsZero() {
				out = append(out, s.Batches[i].ID)
			}
		}
		return out
	}
	for _, bad := range []line.TakeOrder{
		{Customer: "the inn", Crop: "pea", NetG: 500, At: minutes(-1)},
		{Customer: "the inn", Crop: "pea", NetG: 500, At: minutes(3 * 365 * 24 * 60)},
		{Customer: "the inn", Crop: "pea", At: due},
		{Customer: "the inn", Crop: "gravel", NetG: 500, At: due},
	} {
		if _, _, no := line.Do(s, bad, linetest.Morning, "Ash"); no == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
	s = asked(t, s, linetest.Morning, "Ash", line.TakeOrder{Customer: "the inn", Crop: "pea", NetG: 800, At: due})
	if got := dues(); !slices.Equal(got, []int{1}) || !s.Batch(1).Due.Equal(due) {
		t.Fatalf("800 g of the 900 of batch 1: due are %v", got)
	}
	s = asked(t, s, minutes(1), "Ash", line.TakeOrder{Customer: "the corner shop", Crop: "pea", Packages: 3, At: due.Add(time.Hour)})
	if got := dues(); !slices.Equal(got, []int{1, 2}) || !s.Batch(2).Due.Equal(due.Add(time.Hour)) || !s.Batch(1).Due.Equal(due) {
		t.Errorf("375 g more: due are %v at %s", got, s.Batch(2).Due)
	}
	if p := line.Prompts(s, minutes(1), nil)[0]; p.Batch != 1 {
		t.Errorf("the first thing to do is %+v, want what is due", p)
	}
	s = asked(t, s, minutes(2), "Ash", line.Scrap{Batch: 1, Reason: "mould"})
	a := s.Allotments()
	if !s.Batch(2).Due.Equal(due) || len(a) != 2 || a[0].ShortG != 0 || a[1].ShortG != 375-100 {
		t.Errorf("batch 2 is due %s, short %+v", s.Batch(2).Due, a)
	}
	s = asked(t, s, minutes(3), "Ash", line.CancelOrder{ID: s.Orders[0].ID}, line.CancelOrder{ID: s.Orders[1].ID})
	if got := dues(); len(got) != 0 {
		t.Errorf("without orders %v are due", got)
	}
}

// A due time of the sheet stays beside an order's; the earlier one counts.
func TestSheetDueStays(t *testing.T) {
	sheet := linetest.Sheet()
	sheet.Crops[0].Due = minutes(180)
	s := asked(t, line.NewState(linetest.Site(), linetest.Book()), linetest.Morning, "", line.OpenDay{Sheet: sheet})
	s = asked(t, s, linetest.Morning, "", line.TakeOrder{Customer: "the inn", Crop: "pea", NetG: 100, At: minutes(240)})
	if !s.Batch(1).Due.Equal(minutes(180)) {
		t.Errorf("due %s", s.Batch(1).Due)
	}
	s = asked(t, s, linetest.Morning, "", line.TakeOrder{Customer: "the shop", Crop: "pea", NetG: 100, At: minutes(90)})
	if !s.Batch(1).Due.Equal(minutes(90)) {
		t.Errorf("due %s", s.Batch(1).Due)
	}
	s = asked(t, s, linetest.Morning, "", line.CancelOrder{ID: s.Orders[1].ID})
	if !s.Batch(1).Due.Equal(minutes(180)) {
		t.Errorf("due %s once the order is off", s.Batch(1).Due)
	}
}

// A due time that is missed nine days in ten is an alarm, until it is safe or cold.
func TestRiskIsAnAlarm(t *testing.T) {
	s := crewed(t, "Ash")
	due := minutes(120)
	s = asked(t, s, linetest.Morning, "", line.TakeOrder{Customer: "the inn", Crop: "pea", NetG: 100, At: due})
	risk := line.Risk{Crop: "pea", Due: due, Sure: minutes(130), First: minutes(110), Costs: 4 * time.Minute}
	late := func(now time.Time) (out []line.Alarm) {
		for _, a := range line.Alarms(s, now) {
			if a.Kind == line.AlarmLate {
				out = append(out, a)
			}
		}
		return out
	}
	if _, _, no := line.Do(s, line.NoteRisk{Risk: line.Risk{Crop: "pea", Due: due, Sure: minutes(100)}}, minutes(1), ""); no == nil {
		t.Error("a due time that is kept was noted as a risk")
	}
	s = asked(t, s, minutes(1), "", line.NoteRisk{Risk: risk})
	all := late(minutes(2))
	if len(all) != 1 || all[0].Batch != 1 || all[0].Priority != line.Soon || !all[0].Since.Equal(minutes(1)) {
		t.Fatalf("%+v", all)
	}
	if r, ok := s.RiskOf(&all[0]); !ok || r.Slack() != -10*time.Minute {
		t.Errorf("%+v", r)
	}
	risk.Sure = risk.Sure.Add(20 * time.Second)
	if _, _, no := line.Do(s, line.NoteRisk{Risk: risk}, minutes(2), ""); no == nil {
		t.Error("noted again for 20 seconds")
	}
	risk.Sure = risk.Sure.Add(5 * time.Minute)
	s = asked(t, s, minutes(3), "", line.NoteRisk{Risk: risk})
	if again := late(minutes(3)); len(again) != 1 || again[0].ID() != all[0].ID() {
		t.Errorf("the alarm that was noted is another: %+v", again)
	}
	safe := asked(t, s, minutes(4), "", line.NoteRisk{Risk: line.Risk{Crop: "pea", Due: due}})
	if len(safe.Risks) != 0 || len(line.Alarms(safe, minutes(4))) != 0 {
		t.Errorf("safe: %+v", safe.Risks)
	}
	s = asked(t, s, minutes(5), "", line.Scrap{Batch: 1, Reason: "mould"}, line.Scrap{Batch: 2, Reason: "mould"})
	if len(late(minutes(5))) != 0 {
		t.Error("nothing is left to be late, and the alarm stands")
	}
}
