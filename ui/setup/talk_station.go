package setup

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/recipes/strictfile"
	"shedbell/ui/theme"
)

// usualStations is one station of each kind, called by it. The times are a starting
// point (common practice, no source).
func usualStations(batch int) []files.StationEntry {
	const walk = 15 * seconds
	list := []files.StationEntry{
		{Kind: "cut", Trays: batch, Hands: "throughout", PerTray: 200 * seconds, Walk: walk},
		{Kind: "wash", Trays: batch, Hands: "both", HandsTime: 30 * seconds, Walk: walk, WaterBatches: 4},
		{Kind: "spin", Trays: batch, Hands: "both", HandsTime: 30 * seconds, Walk: walk},
		{Kind: "dry", Slots: 4, Trays: batch, Hands: "both", HandsTime: 60 * seconds, Walk: walk},
		{Kind: "pack", Trays: batch, Hands: "throughout", PerTray: 90 * seconds, Walk: walk},
		{Kind: "chill", Slots: 60, Trays: max(12, batch), Hands: "start", HandsTime: 20 * seconds, Walk: walk},
		{Kind: "tray-wash", Trays: 30, Hands: "throughout", PerTray: 75 * seconds, Walk: walk},
		{Kind: "sanitize", Trays: 60, Hands: "start", HandsTime: 180 * seconds, Contact: 600 * seconds, Walk: walk},
		{Kind: "sow", Trays: 30, Hands: "throughout", PerTray: 60 * seconds},
	}
	for i := range list {
		list[i].Name = list[i].Kind
	}
	return list
}

const seconds = strictfile.Duration(time.Second)

// wants says of each kind what is asked about it beside its name and trays.
type wants struct{ slots, load, perTray bool }

var kindWants = map[string]wants{
	"cut":       {perTray: true},
	"wash":      {load: true},
	"spin":      {slots: true, load: true},
	"dry":       {slots: true, load: true},
	"pack":      {perTray: true},
	"chill":     {slots: true},
	"tray-wash": {load: true, perTray: true},
	"sanitize":  {},
	"sow":       {perTray: true},
}

// allStations begins with the usual ones and asks for what differs.
func (t *talk) allStations() {
	t.about(kindStation)
	batch := t.whole(t.question("batch"), 4, bounds{1, 200, "trays"})
	tubs := t.whole(t.question("tubs"), 1, bounds{1, 9, "tubs"})
	for _, st := range usualStations(batch) {
		st.Name = t.say("kind-" + st.Kind + ".usual")
		t.s.Stations = append(t.s.Stations, st)
		t.station(len(t.s.Stations)-1, false)
		for k := 2; st.Kind == "wash" && k <= tubs; k++ {
			next := t.s.Stations[len(t.s.Stations)-1]
			next.Name = st.Name + " " + strconv.Itoa(k)
			t.s.Stations = append(t.s.Stations, next)
		}
	}
	t.about(kindStation)
	walk := t.seconds(t.question("walk-all"), 15*time.Second, 0, 1800)
	for i := range t.s.Stations[:len(t.s.Stations)-1] {
		t.s.Stations[i].Walk = strictfile.Duration(walk)
	}
}

// stations asks which station to change, for a new one of some kind, or for one to
// take away: any but the last of a kind, as a day needs them all.
func (t *talk) stations() {
	t.about(kindStation)
	spare := t.s.spareStations()
	i, remove := t.oneOf("stations", t.s.namesOf(kindStation), len(spare) > 0)
	switch {
	case remove:
		list := make([]string, len(spare))
		for k, at := range spare {
			list[k] = t.s.Stations[at].Name
		}
		if k := t.goes("station-goes", list, func(int) []note { return nil }); k >= 0 {
			t.s.takeAway(kindStation, spare[k])
		}
	case i < len(t.s.Stations):
		t.station(i, true)
	default:
		t.newStation()
	}
}

// spareStations are those that are not the only one of their kind.
func (s *shed) spareStations() []int {
	count := map[string]int{}
	for i := range s.Stations {
		count[s.Stations[i].Kind]++
	}
	var out []int
	for i := range s.Stations {
		if count[s.Stations[i].Kind] > 1 {
			out = append(out, i)
		}
	}
	return out
}

func (t *talk) newStation() {
	usual := usualStations(max(1, t.s.batch()))
	list := names(usual, func(st *files.StationEntry) string { return t.say("kind-" + st.Kind + ".work") })
	st := usual[t.among(t.question("kind"), list, 0)]
	st.Name = t.name(t.question("station-new"), "", t.s.namesOf(kindStation))
	t.s.Stations = append(t.s.Stations, st)
	t.station(len(t.s.Stations)-1, true)
}

// batch is how many trays go into the largest tub.
func (s *shed) batch() int {
	most := 0
	for i := range s.Stations {
		if s.Stations[i].Kind == "wash" {
			most = max(most, s.Stations[i].Trays)
		}
	}
	return most
}

// station asks about one station; in full also for what the usual is good for.
func (t *talk) station(i int, full bool) {
	st := &t.s.Stations[i]
	t.part = t.say("part.station-of", st.Name)
	w, kind := kindWants[st.Kind], "kind-"+st.Kind
	if full {
		st.Name = t.name(t.question("station"), st.Name, without(t.s.namesOf(kindStation), i))
		st.Trays = t.whole(t.question("trays"), st.Trays, bounds{1, 200, "trays"})
	}
	if w.slots {
		now := max(1, st.Slots)
		if n := t.whole(t.question(kind+"-slots"), now, bounds{1, 200, "slots"}); n != now {
			st.Slots = n
		}
	}
	if w.load {
		t.stationLoad(st)
	}
	if st.Kind == "wash" {
		t.drain(st)
	}
	if w.perTray {
		st.PerTray = strictfile.Duration(t.seconds(t.question(kind+"-each"), time.Duration(st.PerTray), 1, 3600))
	}
	if st.Kind == "sanitize" {
		now := int((time.Duration(st.Contact) + time.Minute - 1) / time.Minute)
		if minutes := t.whole(t.question("contact"), now, bounds{1, 240, "minutes"}); minutes != now {
			st.Contact = strictfile.Duration(minutes) * 60 * seconds
		}
	}
	if full {
		st.Walk = strictfile.Duration(t.seconds(t.question("walk"), time.Duration(st.Walk), 0, 1800))
	}
}

// stationMachine asks which machine does something at a station. What is most
// likely meant is offered where nothing was said yet.
func (t *talk) stationMachine(key, now string, guessed bool) string {
	list := t.s.namesOf(kindMachine)
	pick := slices.Index(list, now)
	if pick < 0 && guessed {
		pick = guess(list, t.say(key+".guess"))
	}
	if pick < 0 {
		pick = len(list)
	}
	if pick = t.among(t.question(key), list, pick, "none"); pick < len(list) {
		return list[pick]
	}
	return ""
}

func (t *talk) stationLoad(st *files.StationEntry) {
	was := st.Load
	if st.Load = t.stationMachine("kind-"+st.Kind+"-load", was, was == "" && st.Setting == ""); st.Load != was {
		st.Setting = ""
	}
}

func (t *talk) drain(st *files.StationEntry) {
	st.DrainLoad = t.stationMachine("drain", st.DrainLoad, st.DrainTime == 0)
	if st.DrainLoad == "" {
		return
	}
	if st.DrainTime == 0 {
		st.DrainTime = 240 * seconds
	}
	st.DrainTime = strictfile.Duration(t.seconds(t.question("drain-time"), time.Duration(st.DrainTime), 1, 7200))
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
func (t *talk) settle() []note {
	var out []note
	for _, i := range t.s.makeRoom() {
		st := &t.s.Stations[i]
		out = append(out, note{theme.Text, t.say("told.holds", st.Name, st.Trays)})
	}
	return out
}

// makeRoom enlarges the stations that are too small for a batch, and gives their
// places.
func (s *shed) makeRoom() []int {
	site := line.Site{}
	for _, st := range s.Stations {
		kind, _ := line.ParseKind(st.Kind)
		site.Stations = append(site.Stations, line.Station{Kind: kind, SlotTrays: st.Trays})
	}
	batch := site.BatchTrays()
	var out []int
	for _, k := range []line.Kind{line.Cut, line.Pack, line.Chill} {
		largest := -1
		for _, i := range site.StationsOf(k) {
			if largest < 0 || s.Stations[i].Trays > s.Stations[largest].Trays {
				largest = i
			}
		}
		if largest >= 0 && s.Stations[largest].Trays < batch {
			s.Stations[largest].Trays = batch
			out = append(out, largest)
		}
	}
	return out
}
