package line_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// A helper from 9 to 11 is on the line from 9 until 11; breaks are taken out; who comes
// and goes keeps the place in the order.
func TestHours(t *testing.T) {
	at := func(clock string) time.Time {
		c, err := time.Parse("15:04", clock)
		if err != nil {
			t.Fatal(err)
		}
		return linetest.Morning.Truncate(24 * time.Hour).Add(time.Duration(c.Hour())*time.Hour + time.Duration(c.Minute())*time.Minute)
	}
	site := linetest.Site()
	sheet := linetest.Sheet()
	sheet.Crew = []string{"Ash", "Rowan"}
	sheet.Hours = []line.Hours{{Name: "Rowan", From: at("09:00"), To: at("11:00")}}
	s := asked(t, line.NewState(site, linetest.Book()), linetest.Morning, "", line.OpenDay{Sheet: sheet})
	here := func(clock string, want string) {
		t.Helper()
		if got := strings.Join(s.Here(at(clock)), " "); got != want {
			t.Errorf("at %s: here are %q, want %q", clock, got, want)
		}
	}
	here("08:59", "Ash")
	here("09:00", "Ash Rowan")
	here("10:59", "Ash Rowan")
	here("11:00", "Ash")
	if got := s.HandsChange(linetest.Morning); !got.Equal(at("09:00")) {
		t.Errorf("somebody comes at %s", got)
	}
	if got := s.HandsChange(at("09:00")); !got.Equal(at("11:00")) {
		t.Errorf("somebody goes at %s", got)
	}

	s = asked(t, s, at("09:30"), "Ash", s.Goes("Rowan", at("09:30"), at("09:45"))) // a break
	here("09:29", "Ash Rowan")
	here("09:30", "Ash")
	here("09:45", "Ash Rowan")
	here("11:00", "Ash")
	if !s.OnBreak("Rowan", at("09:40")) || s.OnBreak("Rowan", at("08:00")) || s.OnBreak("Rowan", at("11:30")) {
		t.Error("a break is from going until coming back")
	}
	s = asked(t, s, at("09:40"), "Ash", s.Comes("Rowan", at("09:40"))) // back early
	here("09:40", "Ash Rowan")
	here("11:00", "Ash")
	s = asked(t, s, at("10:50"), "Ash", s.Stays("Rowan"))
	here("23:00", "Ash Rowan")
	s = asked(t, s, at("11:30"), "Ash", s.Goes("Ash", at("11:30"), time.Time{}), s.Comes("helper 3", at("11:30")))
	here("11:31", "Rowan helper 3")
	s = asked(t, s, at("11:40"), "Ash", s.Comes("Ash", at("11:40")))
	here("11:41", "Ash Rowan helper 3")

	for _, bad := range []line.SetHours{
		{Name: " "},
		{Name: "Ash", Hours: []line.Hours{{From: at("10:00"), To: at("09:00")}}},
		{Name: "Ash", Hours: []line.Hours{{From: at("09:00"), To: at("11:00")}, {From: at("10:00"), To: at("12:00")}}},
		{Name: "Ash", Hours: []line.Hours{{From: at("09:00")}, {From: at("10:00")}}},
		{Name: "Ash", Hours: s.HoursOf("Ash")},
	} {
		if _, _, no := line.Do(s, bad, at("11:50"), "Ash"); no == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
	s = asked(t, s, at("11:50"), "Ash", line.Undo{})
	here("11:51", "Rowan helper 3")
}

// With the helper come and gone, prompts count the hands that there are: one person who
// cuts does not begin a second cut; lanes are of those who are here.
func TestHandsByTheHour(t *testing.T) {
	s := crewed(t, "Ash", "Rowan")
	leaves, back := minutes(5), minutes(20)
	s = asked(t, s, linetest.Morning, "", s.Goes("Rowan", leaves, time.Time{}), line.Start{Batch: 1, To: line.Anywhere})
	ready := func(now time.Time) bool {
		return slices.ContainsFunc(line.Prompts(s, now, nil), func(p line.Prompt) bool { return p.Act == line.ActStart && p.Batch == 2 && p.Ready(now) })
	}
	if !ready(minutes(4)) || ready(minutes(5)) {
		t.Errorf("a second cut: %v with two people, %v with one", ready(minutes(4)), ready(minutes(5)))
	}
	if n := len(line.Advice{}.Lanes(s, minutes(6))); n != 1 {
		t.Errorf("%d lanes for one person", n)
	}
	s = asked(t, s, minutes(6), "", s.Comes("Rowan", back))
	lanes := line.Advice{}.Lanes(s, minutes(7))
	if len(lanes) != 2 || lanes[1].Person != "Rowan" || !lanes[1].Back.Equal(back) || lanes[1].Now != nil || len(lanes[1].Next) > 0 {
		t.Errorf("on a break: %+v", lanes)
	}
	for _, p := range line.Prompts(s, minutes(7), nil) {
		if p.Act == line.ActStart && p.Batch == 2 && p.At.After(back) {
			t.Errorf("the second cut waits until %s, when Rowan is back at %s", p.At, back)
		}
	}
}

// Who goes in the middle of work by hand says whose it is now; who goes by the sheet
// ends it first.
func TestGoingInTheMiddleOfWork(t *testing.T) {
	s := crewed(t, "Ash", "Rowan")
	s = asked(t, s, linetest.Morning, "Rowan", line.Start{Batch: 1, To: line.Anywhere})
	table := s.Batch(1).Step.Place
	if _, _, no := line.Do(s, s.Goes("Rowan", minutes(2), time.Time{}), minutes(2), "Ash"); no == nil || no.Rule != line.RuleOrder {
		t.Fatalf("Rowan goes with the knife in hand: %v", no)
	}
	planned := asked(t, s, minutes(1), "Ash", s.Goes("Rowan", minutes(2), time.Time{}))
	lanes := line.Advice{}.Lanes(planned, minutes(3))
	if len(lanes) != 2 || !lanes[1].Busy || lanes[1].Now.Batch != 1 || len(lanes[1].Next) != 0 {
		t.Errorf("Rowan goes after what is in hand: %+v", lanes)
	}
	planned = asked(t, planned, minutes(4), "Rowan", line.Finish{At: table})
	if lanes := (line.Advice{}).Lanes(planned, minutes(4)); len(lanes) != 1 || lanes[0].Person != "Ash" {
		t.Errorf("Rowan has gone: %+v", lanes)
	}
	s = asked(t, s, minutes(2), "Rowan", line.GiveOver{At: table, To: "Ash"})
	s = asked(t, s, minutes(2), "Rowan", s.Goes("Rowan", minutes(2), time.Time{}))
	lanes = line.Advice{}.Lanes(s, minutes(3))
	if len(lanes) != 1 || lanes[0].Person != "Ash" || !lanes[0].Busy || lanes[0].Now.Batch != 1 {
		t.Errorf("Ash goes on with it: %+v", lanes)
	}
	if _, _, no := line.Do(s, line.GiveOver{At: table, To: "Rowan"}, minutes(3), "Ash"); no == nil {
		t.Error("work is given to who is not here")
	}
}
