package setup

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shedbell/line/files"
	"shedbell/line/say"
	"shedbell/recipes/strictfile"
	"shedbell/ui/words"
)

// start begins a talk about a file, or about a new shed.
func start(t interface{ Fatal(...any) }, src, language string) (*wizard, *result) {
	r := &result{}
	w, err := words.New(language, say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	v, err := newTalk(Options{Path: "line.toml", Data: []byte(src), Words: w}, r)
	if err != nil {
		t.Fatal(err)
	}
	return v, r
}

// Whatever is answered, what is written is a line file that reads without a fault,
// and every number that was typed passed the reader at once: writing is never held
// up.
func TestRandomAnswersMakeAGoodFile(t *testing.T) {
	starter, split := string(files.StarterLine()), example(t, "split_phase_line.toml")
	rapid.Check(t, func(t *rapid.T) {
		src := rapid.SampledFrom([]string{"", starter, split}).Draw(t, "file")
		v, r := start(t, src, rapid.SampledFrom(say.Languages()).Draw(t, "language"))
		stuck := false
		for n := 0; v.running; n++ {
			if n > 1000 {
				t.Fatalf("no end of questions; the last is %q", v.now.title)
			}
			if v.now.key == "cannot-write" {
				// Only another supply can do that, where the file has what no question is about.
				if src != split {
					t.Fatalf("cannot be written: %v", v.now.tells(answer{}))
				}
				stuck = true
			}
			saysNoKeys(t, &v.now)
			if stuck {
				leave(v)
				continue
			}
			v.give(randomAnswer(t, &v.now, n > 40))
		}
		if !r.write {
			t.Skip("left")
		}
		if _, faults := files.ReadLine("line.toml", []byte(r.data)); len(faults) > 0 {
			t.Fatalf("%v\n%s", strictfile.Join(faults), r.data)
		}
		if src != "" {
			commentsStay(t, src, r.data)
		}
	})
}

// saysNoKeys checks that a question shows no key where a text belongs.
func saysNoKeys(t *rapid.T, q *question) {
	for _, text := range append([]string{q.part, q.title, q.about}, q.choices...) {
		if strings.HasPrefix(text, "setup-") || strings.Contains(text, "%!") {
			t.Fatalf("shows %q", text)
		}
	}
}

func randomAnswer(t *rapid.T, q *question, end bool) answer {
	if q.tells != nil && rapid.IntRange(0, 3).Draw(t, "look") == 0 {
		for _, n := range q.tells(answer{pick: q.pick, text: q.value}) {
			if strings.HasPrefix(n.text, "setup-") || strings.Contains(n.text, "%!") {
				t.Fatalf("tells %q", n.text)
			}
		}
	}
	switch {
	case len(q.choices) == 0:
		return answer{text: randomText(t, q)}
	case end && strings.HasPrefix(q.key, "another-"):
		return answer{pick: 1}
	case end && q.key == "hub":
		return answer{pick: hubWrite}
	case end && q.key == "no-change":
		return answer{pick: 1}
	case end && q.key == "write":
		return answer{}
	}
	return answer{pick: rapid.IntRange(0, len(q.choices)-1).Draw(t, "pick")}
}

// leave goes the way out of any question.
func leave(v *wizard) {
	switch v.now.key {
	case "hub":
		v.give(answer{pick: hubLeave})
	default:
		v.give(answer{})
	}
}

func randomText(t *rapid.T, q *question) string {
	for try := range 60 {
		text := q.value
		switch {
		case !q.digits && q.key == "code-letter":
			text = rapid.SampledFrom([]string{"a", "K", "u", "V", "1"}).Draw(t, "letter")
		case !q.digits && (text == "" || rapid.Bool().Draw(t, "retype")):
			text = rapid.StringMatching(`[a-zA-Zé" \\\]#='-]{1,12}`).Draw(t, "name") + strconv.Itoa(try)
		case q.digits && q.key == "positions":
			text = rapid.SampledFrom([]string{"1/2", "1.6/2.8/4.2", "3", "5/6/7/8", text}).Draw(t, "settings")
		case q.digits && (text == "" || rapid.Bool().Draw(t, "retype")):
			text = rapid.SampledFrom([]string{"0", "1", "2", "4", "12", "14.5", "0.5", "20", "60", "120", "400", "x", "-1"}).Draw(t, "number")
		}
		if q.tells != nil && try == 0 {
			q.tells(answer{text: text})
		}
		if q.check == nil || q.check(text) == nil {
			return text
		}
	}
	t.Skip("nothing that fits came up")
	return ""
}

// commentsStay checks that no comment of a file was lost.
func commentsStay(t *rapid.T, src, out string) {
	for l := range strings.Lines(src) {
		if i := strings.Index(l, "# "); i >= 0 && !strings.Contains(out, strings.TrimSpace(l[i:])) {
			t.Fatalf("the comment %q is gone from\n%s", l[i:], out)
		}
	}
}

func example(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// reply answers the question by what it asks for: a choice by its words, a field by
// its text. An empty reply takes what is offered.
func reply(t *testing.T, v *wizard, title, text string) {
	t.Helper()
	q := &v.now
	if !v.running || !strings.Contains(q.title, title) {
		t.Fatalf("asks %q, want %q", q.title, title)
	}
	if len(q.choices) == 0 {
		if text == "" {
			text = q.value
		}
		if q.check != nil {
			if err := q.check(text); err != nil {
				t.Fatalf("%q: %q is refused: %v", title, text, err)
			}
		}
		v.give(answer{text: text})
		return
	}
	pick := q.pick
	for i, c := range q.choices {
		if text != "" && strings.HasPrefix(c, text) {
			pick = i
		}
	}
	if text != "" && !strings.HasPrefix(q.choices[pick], text) {
		t.Fatalf("%q offers %q, want %q", title, q.choices, text)
	}
	v.give(answer{pick: pick})
}

func told(v *wizard, a answer) string {
	var out []string
	for _, n := range v.now.tells(a) {
		out = append(out, n.text)
	}
	return strings.Join(out, "\n")
}

// Nothing is changed where nothing was answered otherwise.
func TestUnchangedAnswersChangeNothing(t *testing.T) {
	for name, parts := range map[string][]int{
		"starter_line.toml":     {hubPeople, hubSupply, hubCircuits, hubMachines, hubStations},
		"split_phase_line.toml": {hubPeople, hubSupply, hubFeeders, hubCircuits, hubMachines, hubStations},
	} {
		src := example(t, name)
		v, r := start(t, src, "en")
		for _, part := range parts {
			v.give(answer{pick: part})
			for v.now.key != "hub" {
				v.give(answer{pick: v.now.pick, text: v.now.value})
			}
		}
		v.give(answer{pick: hubWrite})
		if !strings.HasPrefix(v.now.title, "Nothing has changed") {
			v.give(answer{})
			t.Errorf("%s: asks %q\n%s", name, v.now.title, r.data)
		}
	}
}

// The interlock speaks up while a machine is asked about. A motor at six times 15 A
// on a 15 A breaker is above what it stands (UL 489 breakers, package breaker).
func TestTellsAtOnce(t *testing.T) {
	v, _ := start(t, "", "en")
	reply(t, v, "shed called", "Alder shed")
	reply(t, v, "Who works", "Ash, Rowan")
	reply(t, v, "supply", "")
	reply(t, v, "feed the whole", "no")
	reply(t, v, "outlets", "wall")
	reply(t, v, "handle", "15")
	reply(t, v, "stamped", "15 A")
	reply(t, v, "GFCI", "yes")
	reply(t, v, "another breaker", "no")
	reply(t, v, "called", "heater")
	reply(t, v, "Which breaker", "")
	reply(t, v, "plate", "amps")
	if got := told(v, answer{text: "16"}); !strings.Contains(got, "heater can't run there") || !strings.Contains(got, "16.0 of 15 A") {
		t.Errorf("of 16 A on 15 A it says %q", got)
	}
	if got := told(v, answer{text: "7"}); !strings.Contains(got, "7.0 of 15 A") {
		t.Errorf("of 7 A on 15 A it says %q", got)
	}
	reply(t, v, "How many amps", "7")
	if got := told(v, answer{pick: 1}); !strings.Contains(got, "Its start draws 42 A for 0.6 s: that should not trip the breaker") {
		t.Errorf("of its start it says %q", got)
	}
	reply(t, v, "How does it start", "a motor; the nameplate gives")
	if got := told(v, answer{text: "400"}); !strings.Contains(got, "can't run there. Starting heater takes") {
		t.Errorf("of 400 A at the start it says %q", got)
	}
}

// Going back asks the question before again, and nothing is left of its answer.
func TestGoingBack(t *testing.T) {
	v, _ := start(t, "", "en")
	if v.back() {
		t.Error("went back from the first question")
	}
	reply(t, v, "shed called", "Alder shed")
	reply(t, v, "Who works", "Ash")
	reply(t, v, "supply", "230")
	reply(t, v, "feed the whole", "no")
	reply(t, v, "outlets", "wall")
	for i := range 4 {
		if !v.back() {
			t.Fatal("cannot go back", i)
		}
	}
	reply(t, v, "Who works", "Rowan")
	reply(t, v, "supply", "120 V")
	reply(t, v, "feed the whole", "no")
	reply(t, v, "outlets", "wall")
	reply(t, v, "handle", "20")
	reply(t, v, "stamped", "") // not asked for a letter
}

func TestSaveKeepsWhatWasThere(t *testing.T) {
	path := t.TempDir() + "/data/line.toml"
	was := []byte(nil)
	for i, text := range []string{"one", "two", "three"} {
		kept, err := Save(path, []byte(text), was)
		if err != nil {
			t.Fatal(err)
		}
		if i > 0 {
			old, err := os.ReadFile(kept)
			if err != nil || string(old) != string(was) || kept != fmt.Sprintf("%s.%d", path, i) {
				t.Errorf("kept %q in %s: %v", old, kept, err)
			}
		}
		was = []byte(text)
	}
	if _, err := Save(path, []byte("four"), []byte("two")); err == nil || !strings.Contains(err.Error(), "changed by somebody else") {
		t.Errorf("wrote over a change: %v", err)
	}
	if now, _ := os.ReadFile(path); string(now) != "three" {
		t.Errorf("the file is %q", now)
	}
	if entries, _ := os.ReadDir(strings.TrimSuffix(path, "/line.toml")); len(entries) != 3 {
		t.Errorf("left behind: %v", entries)
	}
}
