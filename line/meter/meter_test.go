package meter_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/meter"
	"shedbell/recipes/strictfile/fuzztest"
)

// The document and the pointers of RFC 6901, section 5, "JSON String Representation".
const rfcDocument = `{"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8}`

func TestPointersOfTheRFC(t *testing.T) {
	for pointer, want := range map[string]float64{"/": 0, "/a~1b": 1, "/c%d": 2, "/e^f": 3, "/g|h": 4, `/i\j`: 5, `/k"l`: 6, "/ ": 7, "/m~0n": 8} {
		if got, err := read(t, pointer, rfcDocument); err != nil || got != want {
			t.Errorf("%q is %v, %v; the RFC has %v", pointer, got, err, want)
		}
	}
	for _, pointer := range []string{"", "/foo", "/foo/0", "/foo/1"} { // the document, an array, texts
		if _, err := read(t, pointer, rfcDocument); !errors.Is(err, meter.ErrNoNumber) {
			t.Errorf("%q: %v", pointer, err)
		}
	}
	// Section 4: no zeros in front, and "-" is the element that is not there yet.
	// Section 7: what does not exist is an error.
	for _, pointer := range []string{"/foo/00", "/foo/-", "/foo/2", "/foo/+1", "/foo/", "/bar", "/a~1b/0", "/foo/0/0"} {
		if _, err := read(t, pointer, rfcDocument); !errors.Is(err, meter.ErrNotThere) {
			t.Errorf("%q: %v", pointer, err)
		}
	}
	// Section 3: the grammar. Section 4: "~01" is "~1" and not "/".
	for _, bad := range []string{"foo", "/~", "/a~2b", "/~~0", "#/foo"} {
		if _, err := meter.ParsePointer(bad); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
	if p, err := meter.ParsePointer("/~01"); err != nil || !reflect.DeepEqual(p, meter.Pointer{"~1"}) {
		t.Errorf("%v %v", p, err)
	}
}

func read(t *testing.T, pointer, payload string) (float64, error) {
	t.Helper()
	p, err := meter.ParsePointer(pointer)
	if err != nil {
		t.Fatal(err)
	}
	m := meter.Meter{Pointer: p, Unit: "A", Factor: 1}
	return m.Read([]byte(payload))
}

func TestWhatIsNoReading(t *testing.T) {
	for payload, want := range map[string]error{
		"NaN": meter.ErrNotJSON, "Infinity": meter.ErrNotJSON, "-Infinity": meter.ErrNotJSON, "": meter.ErrNotJSON, "ON": meter.ErrNotJSON,
		"7.0 A": meter.ErrNotJSON, "0x10": meter.ErrNotJSON, "7,5": meter.ErrNotJSON, "1 2": meter.ErrNotJSON, "\x1b[2J": meter.ErrNotJSON,
		`"7.0"`: meter.ErrNoNumber, "true": meter.ErrNoNumber, "null": meter.ErrNoNumber, "[7]": meter.ErrNoNumber,
		"-0.1": meter.ErrNegative, "1e999": meter.ErrOutOfUnit, "401": meter.ErrOutOfUnit,
		strings.Repeat(" ", 1<<20) + "7": meter.ErrTooLong, strings.Repeat("[", 60000): meter.ErrNotJSON,
	} {
		if v, err := read(t, "", payload); !errors.Is(err, want) {
			t.Errorf("%.20q is %v, %v; want %v", payload, v, err, want)
		}
	}
	for payload, want := range map[string]float64{"7": 7, " 7.25\r\n": 7.25, "7e-1": 0.7, "0": 0} {
		if v, err := read(t, "", payload); err != nil || v != want {
			t.Errorf("%q is %v, %v", payload, v, err)
		}
	}
	cold := meter.Meter{Unit: "F", Factor: 1}
	if v, err := cold.Read([]byte("-12.5")); err != nil || v != -12.5 {
		t.Errorf("a freezer at %v, %v", v, err)
	}
	milli := meter.Meter{Unit: "A", Factor: 0.001}
	if v, err := milli.Read([]byte("6800")); err != nil || v < 6.799 || v > 6.801 {
		t.Errorf("6800 mA are %v A, %v", v, err)
	}
}

// FuzzRead: whatever comes, it is an error or a value that can be.
func FuzzRead(f *testing.F) {
	f.Add("/a/0", []byte(`{"a":[7]}`))
	f.Add("/m~0n", []byte(rfcDocument))
	f.Add("", []byte("1e308"))
	f.Fuzz(func(t *testing.T, pointer string, payload []byte) {
		defer fuzztest.Bound(t)()
		p, err := meter.ParsePointer(pointer)
		if err != nil {
			return
		}
		m := meter.Meter{Pointer: p, Unit: "A", Factor: 1}
		v, err := m.Read(payload)
		if err == nil && (!json.Valid(payload) || !(v >= 0 && v <= 400)) {
			t.Errorf("%q at %q is %v", payload, pointer, v)
		}
	})
}

// bench is a shed with meters on a clock that the test moves.
type bench struct {
	t     *testing.T
	s     *line.State
	now   time.Time
	board *meter.Board
}

func newBench(t *testing.T, meters ...meter.Meter) *bench {
	for i := range meters {
		meters[i].Factor = 1
		if meters[i].Fresh == 0 {
			meters[i].Fresh = 30 * time.Second
		}
		if meters[i].Unit == "" {
			meters[i].Unit = "A"
		}
	}
	return &bench{t, linetest.Open(), linetest.Morning.Add(time.Minute), meter.NewBoard(meters)}
}

func on(load string) meter.Meter {
	return meter.Meter{Kind: meter.Load, Of: load, Topic: "shed/" + load}
}

func (b *bench) do(c line.Command) {
	b.t.Helper()
	s, _, no := line.Do(b.s, c, b.now, meter.By)
	if no != nil {
		b.t.Fatal(no)
	}
	b.s = s
}

// says has time pass and a meter speak, and enters what follows.
func (b *bench) says(after time.Duration, topic, payload string) []line.Command {
	b.t.Helper()
	return b.hears(after, meter.Message{Topic: topic, Payload: []byte(payload), Live: true})
}

func (b *bench) hears(after time.Duration, m meter.Message) []line.Command {
	b.t.Helper()
	b.now = b.now.Add(after)
	facts := b.board.Take(m, b.s, b.now)
	for _, c := range facts {
		b.do(c)
	}
	return facts
}

func (b *bench) drawing(load int) bool { return b.s.Power.Drawing(&b.s.Site.Panel, load, b.now) }

func (b *bench) alarmed() bool {
	for _, a := range line.Alarms(b.s, b.now) {
		if a.Kind == line.AlarmFoundOn {
			return true
		}
	}
	return false
}

func TestAStartThatNobodyEntered(t *testing.T) {
	b := newBench(t, on("spinner"))
	b.says(2*time.Second, "shed/spinner", "31.2") // it starts
	if b.drawing(linetest.Spinner) {
		t.Error("one reading was taken for a start")
	}
	b.says(2*time.Second, "shed/spinner", "6.4")
	if !b.drawing(linetest.Spinner) || b.alarmed() {
		t.Fatal("after two readings it is not on, or there is no time to enter it")
	}
	if b.says(10*time.Second, "shed/spinner", "6.4"); !b.alarmed() {
		t.Error("nobody is told")
	}
	if _, _, no := line.Do(b.s, line.SwitchOn{Load: linetest.Washer}, b.now, "Ash"); no == nil {
		t.Error("the interlock does not count it")
	}
	b.do(line.MarkOn{Load: linetest.Spinner})
	if b.alarmed() || !b.drawing(linetest.Spinner) {
		t.Error("somebody has said that it is on, and the alarm stays")
	}
	b.says(10*time.Second, "shed/spinner", "6.4")
	b.says(2*time.Second, "shed/spinner", "0")
	if !b.drawing(linetest.Spinner) {
		t.Error("one reading was taken for off")
	}
	b.says(2*time.Second, "shed/spinner", "0.01")
	if b.drawing(linetest.Spinner) {
		t.Error("two readings say off, and it counts")
	}
}

// What a person has just told is not taken back by a meter that has not seen it run: the
// hand is on its way to the switch.
func TestToldOnBeforeItIsSwitched(t *testing.T) {
	b := newBench(t, on("pressure-washer"))
	for range 10 {
		b.says(time.Second, "shed/pressure-washer", "0")
	}
	b.do(line.SwitchOn{Load: linetest.Washer})
	for range 60 {
		b.says(time.Second, "shed/pressure-washer", "0")
	}
	if !b.drawing(linetest.Washer) {
		t.Error("the meter took it off before it was on")
	}
}

// Who says off first and then goes to the switch has two readings' time.
func TestToldOffBeforeItIsSwitched(t *testing.T) {
	b := newBench(t, on("pressure-washer"))
	b.do(line.SwitchOn{Load: linetest.Washer})
	for range 10 {
		b.says(3*time.Second, "shed/pressure-washer", "13")
	}
	b.do(line.SwitchOff{Load: linetest.Washer})
	b.says(3*time.Second, "shed/pressure-washer", "13")
	if b.drawing(linetest.Washer) {
		t.Error("found on with the first reading")
	}
	b.says(3*time.Second, "shed/pressure-washer", "13")
	if !b.drawing(linetest.Washer) {
		t.Error("it runs on, and counts as off")
	}
}

// A person switches the spinner on and then presses Enter: the start is taken, and the
// step has the machine that the meter found.
func TestEnteredAfterTheMeterFoundIt(t *testing.T) {
	b := newBench(t, on("tub-blower"))
	b.do(line.Start{Batch: 1, To: line.Anywhere})
	b.now = b.now.Add(10 * time.Minute)
	b.says(time.Second, "shed/tub-blower", "5")
	b.says(time.Second, "shed/tub-blower", "5")
	b.do(line.Advance{Batch: 1, To: line.Anywhere})
	b.now = b.now.Add(time.Minute)
	if st := b.s.Power.Loads[linetest.Blower]; !st.On || st.Metered || b.alarmed() {
		t.Errorf("%+v", st)
	}
}

// Hands reach into a drum: the end of its step stays an Enter, whatever the meter says.
func TestNoMeterEndsAStepThatHandsReachInto(t *testing.T) {
	b := newBench(t, on("tub-blower"), on("rack-fans"))
	b.do(line.Start{Batch: 1, To: line.Anywhere})
	b.now = b.now.Add(10 * time.Minute)
	b.do(line.Advance{Batch: 1, To: line.Anywhere})
	for range 5 {
		b.says(time.Second, "shed/tub-blower", "5.5")
	}
	for range 5 {
		b.says(time.Second, "shed/tub-blower", "0")
	}
	if !b.drawing(linetest.Blower) || b.s.Batch(1).Step.Progress != line.Running {
		t.Error("the meter ended a step at the tub")
	}
}

func TestASetting(t *testing.T) {
	b := newBench(t, on("rack-fans"))
	b.says(time.Second, "shed/rack-fans", "2.5")
	b.says(time.Second, "shed/rack-fans", "2.5")
	fans := &b.s.Power.Loads[linetest.Fans]
	if !fans.On || fans.Setting != 1 { // 2.5 of 1.6, 2.8 and 4.2 A
		t.Errorf("%+v", fans)
	}
	for range 3 {
		b.says(4*time.Second, "shed/rack-fans", "3.9")
	}
	if fans = &b.s.Power.Loads[linetest.Fans]; fans.Setting != 2 {
		t.Errorf("more than medium can draw, and it counts as %+v", fans)
	}
	for range 9 {
		b.says(4*time.Second, "shed/rack-fans", "1.2")
	}
	if fans = &b.s.Power.Loads[linetest.Fans]; fans.Setting != 2 {
		t.Errorf("a meter lowered a setting: %+v", fans)
	}
}

func TestWhatNeverConfirmsOff(t *testing.T) {
	off := func(b *bench) {
		for range 20 {
			b.says(time.Second, "shed/spinner", "6.5")
		}
	}
	for name, says := range map[string]func(*bench){
		"slower than 5 s": func(b *bench) {
			for range 20 {
				b.says(6*time.Second, "shed/spinner", "0")
			}
		},
		"kept from before": func(b *bench) {
			for range 20 {
				b.hears(time.Second, meter.Message{Topic: "shed/spinner", Payload: []byte("0")})
			}
		},
		"once": func(b *bench) { b.says(time.Second, "shed/spinner", "0") },
		"all at once": func(b *bench) {
			for range 20 {
				b.says(time.Millisecond, "shed/spinner", "0")
			}
		},
		"on between": func(b *bench) {
			for range 10 {
				b.says(time.Second, "shed/spinner", "0")
				b.says(time.Second, "shed/spinner", "6.5")
			}
		},
		"no reading": func(b *bench) {
			for _, p := range []string{"NaN", "-1", "null", `"0"`, "", "{}"} {
				b.says(time.Second, "shed/spinner", p)
				b.says(time.Second, "shed/spinner", p)
			}
		},
		"silent":        func(b *bench) { b.now = b.now.Add(time.Hour) },
		"another topic": func(b *bench) { b.says(time.Second, "shed/other", "0"); b.says(time.Second, "shed/other", "0") },
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t, on("spinner"))
			b.do(line.SwitchOn{Load: linetest.Spinner})
			off(b)
			says(b)
			if !b.drawing(linetest.Spinner) {
				t.Error("it counts as off")
			}
		})
	}
}

// Two meters on one load: off takes both, on takes one.
func TestTwoMetersOnOneLoad(t *testing.T) {
	other := on("spinner")
	other.Topic = "shed/other"
	b := newBench(t, on("spinner"), other)
	b.do(line.SwitchOn{Load: linetest.Spinner})
	for range 3 {
		b.says(time.Second, "shed/spinner", "6.5")
		b.says(time.Second, "shed/other", "6.5")
	}
	for range 10 {
		b.says(time.Second, "shed/spinner", "0")
	}
	if !b.drawing(linetest.Spinner) {
		t.Error("one of two said off")
	}
	for range 2 {
		b.says(time.Second, "shed/other", "0")
		b.says(time.Second, "shed/spinner", "0")
	}
	if b.drawing(linetest.Spinner) {
		t.Error("both say off, and it counts")
	}
}

// The rule of safety as a property: whatever meters send, a load that people have on
// stays so unless its last two live readings, 5 s apart at most, say less than the tenth
// part of its nameplate.
func TestNoMeterAllowsWhatPeoplesWordRefuses(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := newBench(t, on("spinner"))
		b.do(line.SwitchOn{Load: linetest.Spinner})
		type live struct {
			a  float64
			at time.Time
		}
		var heard []live
		for range rapid.IntRange(1, 60).Draw(rt, "messages") {
			a := rapid.SampledFrom([]float64{0, 0.02, 0.05, 0.4, 0.8, 1.5, 3, 6.5, 31}).Draw(rt, "amps")
			m := meter.Message{Topic: "shed/spinner", Payload: fmt.Appendf(nil, "%g", a), Live: rapid.IntRange(0, 4).Draw(rt, "live") > 0}
			if rapid.IntRange(0, 9).Draw(rt, "odd") == 0 {
				m.Payload = []byte("NaN")
			}
			b.hears(time.Duration(rapid.IntRange(1, 8000).Draw(rt, "ms"))*time.Millisecond, m)
			if m.Live && string(m.Payload) != "NaN" {
				heard = append(heard, live{a, b.now})
			}
			if b.drawing(linetest.Spinner) {
				continue
			}
			n := len(heard)
			if n < 2 || heard[n-1].a > 0.7 || heard[n-2].a > 0.7 || heard[n-1].at.Sub(heard[n-2].at) > meter.Slowest {
				rt.Fatalf("off after %v", heard)
			}
			return
		}
	})
}

func TestFridgeAndAirAreEnteredAtTheirInterval(t *testing.T) {
	cold := meter.Meter{Kind: meter.Fridge, Of: "fridge", Topic: "cold", Unit: "C", Every: 30 * time.Minute}
	warm := meter.Meter{Kind: meter.Room, Of: "shed", Topic: "air", Unit: "F", Every: time.Hour, Pointer: meter.Pointer{"t"}}
	damp := meter.Meter{Kind: meter.Room, Of: "shed", Topic: "air", Unit: "%", Every: time.Hour, Pointer: meter.Pointer{"rh"}}
	b := newBench(t, cold, warm, damp)
	air := 0
	for range 6 * 61 { // an hour and a minute
		b.says(5*time.Second, "cold", "3.5")
		air += len(b.says(5*time.Second, "air", `{"t": 68, "rh": 55}`))
	}
	entries := b.s.Entries
	if len(entries) != 3 || entries[0].Entry.Value != 3.5 || entries[0].Entry.Where != "fridge" || entries[0].Who() != meter.By {
		t.Errorf("%+v", entries)
	}
	got, ok := b.s.AirNow(b.now)
	if !ok || air != 2 || got.TempC != 20 || got.RHPercent != 55 { // 68 F are 20 C
		t.Errorf("%v %v, read %d times", got, ok, air)
	}
}

func TestAWeightThatStandsStill(t *testing.T) {
	scale := func() *bench {
		return newBench(t, meter.Meter{Kind: meter.Balance, Of: "packing table", Topic: "scale", Unit: "kg"})
	}
	for name, tc := range map[string]struct {
		says []string
		want float64
	}{
		"still":               {[]string{"0.1", "1.250", "1.251", "1.25"}, 1250},
		"two readings":        {[]string{"1.25", "1.25"}, 0},
		"it still moves":      {[]string{"1.25", "1.25", "1.26"}, 0},
		"nothing on it":       {[]string{"0", "0.001", "0"}, 0},
		"no reading the last": {[]string{"1.25", "1.25", "1.25", "-0.1"}, 0},
	} {
		b := scale()
		for _, p := range tc.says {
			b.says(time.Second, "scale", p)
		}
		if g, ok := b.board.Weighs("packing table", b.now); ok != (tc.want > 0) || g != tc.want {
			t.Errorf("%s: %g %v, want %g", name, g, ok, tc.want)
		}
		if _, ok := b.board.Weighs("packing table", b.now.Add(time.Minute)); ok {
			t.Errorf("%s: it holds a minute later", name)
		}
		if _, ok := b.board.Weighs("cutting table", b.now); ok {
			t.Errorf("%s: another station has it", name)
		}
	}
}
