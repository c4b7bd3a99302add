package words

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/say"
)

// TestEcho says what records keep in English: with values in other places, several
// sentences, and text that nobody knows.
func TestEcho(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	for english, want := range map[string]string{
		"start of tub, pea 1":      "comienzo de tina, chícharo 1",
		"start of tray-wash":       "comienzo de lavado de bandejas",
		"+0:15 on rack, pea 1":     "+0:15 en estante, chícharo 1",
		"recipe pea, revision 3":   "receta chícharo, revisión 3",
		"something else, untold":   "something else, untold",
		"Not now: there is no day": "Ahora no: there is no day",
		"Not now: rack a is out of use until it is mended. Switch off fans.": "Ahora no: estante a está fuera de uso hasta que se arregle. Apague fans.",
		"": "",
	} {
		if got := spanish.Sentence(say.Kept(english)); got != want {
			t.Errorf("%q: %q, want %q", english, got, want)
		}
		if got := English().Sentence(say.Kept(english)); got != english {
			t.Errorf("in English %q became %q", english, got)
		}
	}
}

// TestARecordKeepsTheSentence: a refusal and an undo are said in the reader's language
// after they have been in the journal; those of earlier versions are found back by
// their English.
func TestARecordKeepsTheSentence(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	s := linetest.Open()
	for old, c := range map[string]line.Command{
		"6 batches are not in the cold yet. Finish or scrap them first.": line.CloseDay{},
		"pea 2 has 3 trays; between 1 and 2 can be split off.":           line.Split{Batch: 2, Trays: 3},
		"there is no batch 99.":              line.Start{Batch: 99, To: line.Anywhere},
		"pressure washer is off.":            line.SwitchOff{Load: linetest.Washer},
		"nothing is there to finish.":        line.Finish{},
		"kale has no recipe. Add one first.": line.AddTrays{Demand: line.Demand{Crop: "kale", Trays: 2}},
		"nobody has read today's air. Type its temperature and humidity first.": line.UseAir{On: true},
	} {
		_, no := line.Decide(s, c, linetest.Morning.Add(time.Minute))
		if no == nil {
			t.Errorf("%T is not refused", c)
			continue
		}
		for version, e := range map[string]line.Refused{"new": {Rule: no.Rule, Says: no.Says}, "old": {Rule: no.Rule, Text: "Not now: " + old}} {
			got := spanish.Event(s, line.Record{Event: kept(t, e)})
			if want := spanish.Refusal(no); got != want || !strings.HasPrefix(got, "Ahora no") {
				t.Errorf("%T, %s:\n%q, said\n%q", c, version, got, want)
			}
		}
	}
	after, records, no := line.Do(s, line.Start{Batch: 1, To: line.Anywhere}, linetest.Morning, "")
	if no != nil {
		t.Fatal(no)
	}
	what, _ := after.CanUndo()
	for _, text := range []string{records[0].Undo, what.Keep(), "start of cutting table, pea 1"} {
		got := spanish.Event(s, line.Record{Event: kept(t, line.Undone{Text: text})})
		if want := "Deshecho: comienzo de mesa de corte, chícharo 1"; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// kept is an event as it comes back from the journal.
func kept(t *testing.T, e line.Event) line.Event {
	t.Helper()
	name, data, err := line.EncodeEvent(e)
	if err != nil {
		t.Fatal(err)
	}
	back, err := line.DecodeEvent(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return back
}
