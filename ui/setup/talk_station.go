package setup

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/theme"
)

// usualStations is one station of each kind. The times are a starting point
// (common practice, no source).
func usualStations(batch int) []station {
	const walk = 15 * time.Second
	return []station{
		{name: "cutting table", kind: "cut", slots: 1, trays: batch, hands: "throughout", perTray: 200 * time.Second, walk: walk},
		{name: "tub", kind: "wash", slots: 1, trays: batch, hands: "both", handsTime: 30 * time.Second, walk: walk, waterBatches: 4},
		{name: "spinner", kind: "spin", slots: 1, trays: batch, hands: "both", handsTime: 30 * time.Second, walk: walk},
		{name: "rack", kind: "dry", slots: 4, trays: batch, hands: "both", handsTime: time.Minute, walk: walk},
		{name: "packing table", kind: "pack", slots: 1, trays: batch, hands: "throughout", perTray: 90 * time.Second, walk: walk},
		{name: "fridge", kind: "chill", slots: 60, trays: max(12, batch), hands: "start", handsTime: 20 * time.Second, walk: walk},
		{name: "tray wash", kind: "tray-wash", slots: 1, trays: 30, hands: "throughout", perTray: 75 * time.Second, walk: walk},
		{name: "sanitize", kind: "sanitize", slots: 1, trays: 60, hands: "start", handsTime: 3 * time.Minute, contact: 10 * time.Minute, walk: walk},
		{name: "sowing bench", kind: "sow", slots: 1, trays: 30, hands: "throughout", perTray: time.Minute},
	}
}

// wants says of each kind what is asked about it.
type wants struct {
	slots, load string // empty: not asked
	guess       string // part of the name of the machine that is most likely meant
	perTray     string
}

var kindWants = map[string]wants{
	"cut":       {perTray: "How many seconds does cutting one tray take?"},
	"wash":      {load: "Which machine stirs the water?", guess: "tub blower bubbl"},
	"spin":      {slots: "How many baskets does it hold at once?", load: "Which machine is the spinner?", guess: "spin"},
	"dry":       {slots: "How many shelves has the rack?", load: "Which machine blows through the rack?", guess: "rack fan"},
	"pack":      {perTray: "How many seconds does packing one tray take?"},
	"chill":     {slots: "How many batches find room in the fridge?"},
	"tray-wash": {load: "Which machine washes the trays?", guess: "washer pressure", perTray: "How many seconds does washing one tray take?"},
	"sanitize":  {},
	"sow":       {perTray: "How many seconds does sowing one tray take?"},
}

// allStations begins with the usual ones and asks for what differs.
func (t *talk) allStations() {
	batch := t.whole(question{part: "stations", title: "How many trays go into the tub at once?",
		about: "As many are washed, spun and dried together."}, 4, 1, 200, "trays")
	tubs := t.whole(question{part: "stations", title: "How many tubs are there?"}, 1, 1, 9, "tubs")
	for _, st := range usualStations(batch) {
		t.s.stations = append(t.s.stations, st)
		t.questions(len(t.s.stations)-1, false)
		for k := 2; st.kind == "wash" && k <= tubs; k++ {
			next := t.s.stations[len(t.s.stations)-1]
			next.name = fmt.Sprintf("%s %d", st.name, k)
			t.s.stations = append(t.s.stations, next)
		}
	}
	walk := t.seconds(question{part: "stations", title: "How many seconds is it from one station to the next?",
		about: "About, carrying something."}, 15*time.Second, 0, 1800)
	for i := range t.s.stations[:len(t.s.stations)-1] {
		t.s.stations[i].walk = walk
	}
}

// oneStation asks which station to change, or for a new one of some kind.
func (t *talk) oneStation() {
	i := t.oneOf("stations", "Which station?", names(t.s.stations, func(s station) string { return s.name }))
	if i < len(t.s.stations) {
		t.questions(i, true)
		return
	}
	usual := usualStations(max(1, t.batch()))
	st := usual[t.choose(question{part: "stations", title: "What is done there?", choices: names(usual, func(s station) string { return s.kind })})]
	st.name = t.text(question{part: "stations", title: "What is the new station called?",
		check: checkName(names(t.s.stations, func(s station) string { return s.name }))})
	t.s.stations = append(t.s.stations, st)
	t.questions(len(t.s.stations)-1, true)
}

// batch is how many trays go into the largest tub.
func (t *talk) batch() int {
	most := 0
	for _, s := range t.s.stations {
		if s.kind == "wash" {
			most = max(most, s.trays)
		}
	}
	return most
}

// questions asks about one station; in full also for what the usual is good for.
func (t *talk) questions(i int, full bool) {
	st := &t.s.stations[i]
	part, w := "stations: "+st.name, kindWants[st.kind]
	if full {
		others := without(names(t.s.stations, func(s station) string { return s.name }), i)
		st.name = t.text(question{part: part, title: "What is the station called?", value: st.name, check: checkName(others)})
		st.trays = t.whole(question{part: part, title: "How many trays at once?", about: "Where it holds several batches: for each."}, st.trays, 1, 200, "trays")
	}
	if w.slots != "" {
		st.slots = t.whole(question{part: part, title: w.slots}, st.slots, 1, 200, "")
	}
	if w.load != "" {
		t.stationLoad(part, i, w)
	}
	if st.kind == "wash" {
		t.drain(part, i)
	}
	if w.perTray != "" {
		st.perTray = t.seconds(question{part: part, title: w.perTray, about: "The board learns it; this is to begin with."}, st.perTray, 1, 3600)
	}
	if st.kind == "sanitize" {
		minutes := t.whole(question{part: part, title: "How many minutes is the contact time?",
			about: "The product's label decides: strength, contact time, gloves. Peroxide products burn skin and eyes."},
			int((st.contact+time.Minute-1)/time.Minute), 1, 240, "minutes")
		if contact := time.Duration(minutes) * time.Minute; contact != (st.contact+time.Minute-1)/time.Minute*time.Minute {
			st.contact = contact
		}
	}
	if full {
		st.walk = t.seconds(question{part: part, title: "How many seconds is it to the next station?"}, st.walk, 0, 1800)
	}
}

func (t *talk) stationLoad(part string, i int, w wants) {
	st := &t.s.stations[i]
	list := names(t.s.machines, func(m machine) string { return m.name })
	pick := slices.Index(list, st.load)
	if pick < 0 && st.load == "" && st.setting == "" {
		pick = guess(list, w.guess)
	}
	if pick < 0 {
		pick = len(list)
	}
	about := ""
	if st.kind == "spin" {
		about = "Never open the drum before it stands still."
	}
	if st.kind == "tray-wash" {
		about = "The jet cuts skin: goggles on, never towards a person or an outlet."
	}
	got := t.choose(question{part: part, title: w.load, about: about, choices: append(list, "none"), pick: pick})
	was := st.load
	if st.load = ""; got < len(list) {
		st.load = list[got]
	}
	if st.load != was {
		st.setting = ""
	}
}

func (t *talk) drain(part string, i int) {
	st := &t.s.stations[i]
	list := names(t.s.machines, func(m machine) string { return m.name })
	pick := slices.Index(list, st.drain)
	if pick < 0 && st.drainTime == 0 {
		pick = guess(list, "drain pump")
	}
	if pick < 0 {
		pick = len(list)
	}
	got := t.choose(question{part: part, title: "Which machine empties the tub?", choices: append(list, "none"), pick: pick})
	if st.drain = ""; got < len(list) {
		st.drain = list[got]
	}
	if st.drain == "" {
		return
	}
	if st.drainTime == 0 {
		st.drainTime = 4 * time.Minute
	}
	st.drainTime = t.seconds(question{part: part, title: "How many seconds does a change of water take?", about: "From full to full."}, st.drainTime, 1, 7200)
}

// guess finds a name with one of the words in it.
func guess(list []string, words string) int {
	for _, w := range strings.Fields(words) {
		for i, name := range list {
			if strings.Contains(strings.ToLower(name), w) {
				return i
			}
		}
	}
	return -1
}

// settle makes room for a whole batch at the cutting table, the packing table and
// in the fridge, so that none gets stuck on its first day. It says what it changed.
func (s *shed) settle() []note {
	site := line.Site{}
	for _, st := range s.stations {
		kind, _ := line.ParseKind(st.kind)
		site.Stations = append(site.Stations, line.Station{Kind: kind, SlotTrays: st.trays})
	}
	batch := site.BatchTrays()
	var out []note
	for _, k := range []line.Kind{line.Cut, line.Pack, line.Chill} {
		largest := -1
		for _, i := range site.StationsOf(k) {
			if largest < 0 || s.stations[i].trays > s.stations[largest].trays {
				largest = i
			}
		}
		if largest >= 0 && s.stations[largest].trays < batch {
			s.stations[largest].trays = batch
			out = append(out, note{theme.Text, fmt.Sprintf("%s holds %d trays now: a batch as tub, spinner and rack have it.", s.stations[largest].name, batch)})
		}
	}
	return out
}
