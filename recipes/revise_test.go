package recipes

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var noon = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

func TestReviseAndGoBack(t *testing.T) {
	book := Starters()
	pea, _ := book.Current("pea")
	pea.Spin = 3*time.Minute + 30*time.Second
	second, faults := book.Revise(pea, "Rosa", noon, "bruised", "PEA 1", "PEA 2", "PEA 3")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	now, _ := second.Current("pea")
	if now.Revision != 2 || now.By != "Rosa" || now.Why != "bruised" || len(now.Batches) != 3 || !now.At.Equal(noon) {
		t.Errorf("the revision says %+v", now)
	}
	if old, _ := book.Current("pea"); old.Revision != 1 || old.Spin != 4*time.Minute {
		t.Error("the older book changed")
	}
	want := []Difference{{"spin", "4:00", "3:30"}}
	first, _ := second.Revision("pea", 1)
	if got := Compare(first, now); !reflect.DeepEqual(got, want) {
		t.Errorf("compare: %v, want %v", got, want)
	}
	third, faults := second.GoBack("pea", 1, "Rosa", noon.Add(time.Hour), "too wet")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	now, _ = third.Current("pea")
	if now.Revision != 3 || now.BackFrom != 1 || now.Spin != 4*time.Minute || now.Why != "too wet" || len(third.History("pea")) != 3 {
		t.Errorf("going back gives %+v", now)
	}
	if again, _ := third.GoBack("pea", 2, "Rosa", noon, "bruised again"); len(again.History("pea")[3].Batches) != 0 {
		t.Error("going back took over the batches that the older revision was judged on")
	}
	if _, faults = third.GoBack("pea", 9, "Rosa", noon, "x"); len(faults) != 1 || faults[0].Mend.String() != "there are 3" {
		t.Errorf("going back to nothing: %v", faults)
	}
}

func TestReviseRefuses(t *testing.T) {
	book := Starters()
	pea, _ := book.Current("pea")
	pea.Soak, pea.Fan = time.Minute, "turbo"
	same, faults := book.Revise(pea, " ", time.Time{}, "")
	text := fmt.Sprint(faults)
	for _, want := range []string{"min_soak: out of range", "fan: not a fan setting", "by: missing", "at: missing", "why: missing"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	if len(same.History("pea")) != 1 {
		t.Error("a bad revision was taken")
	}
}

func TestImport(t *testing.T) {
	book := Starters()
	text, err := Write(book)
	if err != nil {
		t.Fatal(err)
	}
	all, _ := Read("x.toml", text)
	same, added := book.Import(all)
	if len(added) != 0 || len(same.revisions) != len(book.revisions) {
		t.Errorf("importing what is there added %d", len(added))
	}
	all[0].Dry += time.Minute
	all[1].Crop = "mizuna"
	more, added := book.Import(all[:2])
	if len(added) != 2 || added[0].Revision != 2 || added[1].Revision != 1 || len(more.History("pea")) != 2 {
		t.Errorf("imported %+v", added)
	}
	if first, _ := more.Revision("pea", 1); first.Dry != 22*time.Minute {
		t.Error("the starter was overwritten")
	}
}

func TestNudge(t *testing.T) {
	r := testRecipe()
	r.SanitizerContact = 150 * time.Second
	for _, c := range []struct {
		step    Step
		by      time.Duration
		want    time.Duration
		stopped string
	}{
		{Dry, time.Minute, 23 * time.Minute, ""},
		{Dry, time.Hour, 44 * time.Minute, "44:00 is the longest dry of this recipe"},
		{Spin, -time.Hour, 2 * time.Minute, "2:00 is the shortest spin of this recipe"},
		{Soak, -time.Hour, 150 * time.Second, "2:30 is the shortest wash of this recipe"},
		{Soak, time.Minute, 4 * time.Minute, ""},
	} {
		got, stopped := r.Nudge(c.step, c.by)
		if got.Time(c.step) != c.want || stopped.String() != c.stopped {
			t.Errorf("%s %v: %v %q, want %v %q", c.step, c.by, got.Time(c.step), stopped, c.want, c.stopped)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		r := testRecipe()
		r.SanitizerContact = time.Duration(rapid.IntRange(0, 180).Draw(t, "contact")) * time.Second
		step := rapid.SampledFrom([]Step{Soak, Spin, Dry}).Draw(t, "step")
		got, _ := r.Nudge(step, time.Duration(rapid.IntRange(-9999, 9999).Draw(t, "by"))*time.Second)
		if faults := got.Validate(); len(faults) > 0 {
			t.Fatalf("nudged out of bounds: %v", faults)
		}
	})
}
