package setup

import (
	"strings"
	"testing"

	"shedbell/line/files"
	"shedbell/recipes/strictfile"
	"shedbell/ui/words"
)

const plain = `# mine
name = "Alder shed" # the name
voltage = 120
crew = ["Ash"]   # just me

[[circuit]]
name = "wet wall"
  breaker_a = 15 # old
[[load]]
name = "spinner"
circuit = "wet wall"
amps = 7 # read on a Monday
cord_awg = 14
# the end of the spinner
`

// A value is changed where it stands; all other bytes stay, comments too.
func TestEditsInPlace(t *testing.T) {
	src := plain + strings.TrimPrefix(stationsOf(), "\n")
	v, r := start(t, src, "en")
	reply(t, v, "What do you want", "breakers")
	reply(t, v, "Which breaker", "wet wall")
	reply(t, v, "Which outlets", "wet")
	reply(t, v, "number is on its handle", "20")
	reply(t, v, "stamped", "20 A")
	reply(t, v, "GFCI", "yes")
	reply(t, v, "What do you want", "machines")
	reply(t, v, "Which machine", "spinner")
	for range 3 { // name, breaker, what the plate says
		v.give(answer{pick: v.now.pick, text: v.now.value})
	}
	reply(t, v, "amps", "8")
	reply(t, v, "How does it start", "a motor; the nameplate doesn't")
	reply(t, v, "When does it run", "")
	reply(t, v, "water", "yes")
	reply(t, v, "plug", "yes")
	reply(t, v, "printed on its cord", "14 AWG")
	reply(t, v, "feet of cord", "50")
	reply(t, v, "What do you want", "machines")
	reply(t, v, "Which machine", "a new one")
	reply(t, v, "called", "pump")
	reply(t, v, "Which breaker", "wet")
	reply(t, v, "plate", "watts")
	reply(t, v, "only heat", "yes")
	reply(t, v, "watts", "600")
	reply(t, v, "When does it run", "it stops")
	reply(t, v, "water", "no")
	reply(t, v, "plug", "yes")
	reply(t, v, "printed on its cord", "not known")
	reply(t, v, "What do you want", "write")
	reply(t, v, "Write line.toml?", "yes")
	want := strings.NewReplacer(
		`"wet wall"`, `"wet"`,
		"breaker_a = 15 # old\n", "breaker_a = 20 # old\nreceptacle_a = 20\ngfci = true\n",
		"amps = 7 #", "amps = 8 #",
		"cord_awg = 14\n", "cord_awg = 14\nstarting_a = 48\nstarting = \"0.6s\"\nwet = true\ncord_m = 15.24\n"+
			"\n[[load]]\nname = \"pump\"\ncircuit = \"wet\"\nwatts = 600\npower_factor = 1\nswitches_itself_off = true\n",
	).Replace(src)
	if r.data != want {
		t.Errorf("wrote\n%s\nwant\n%s", r.data, want)
	}
}

func stationsOf() string {
	var b strings.Builder
	for _, s := range usualStations(4) {
		x := table{kind: kindStation, fields: fields(s)}
		b.WriteString(x.block())
	}
	return b.String()
}

// What is taken away goes with its keys; comments and all else stay. Machines go to
// another breaker, and a station does without its machine.
func TestTakingAway(t *testing.T) {
	src := plain + `
[[circuit]]
name = "cold wall" # dry
breaker_a = 15

[[load]] # rinses
# since spring
name = "fan"
circuit = "cold wall"
[load.settings]
low = 1 # whisper
high = 2

[[load]]
name = "lamp"
circuit = "cold wall"
amps = 1
` + strings.Replace(stationsOf(), "kind = \"spin\"\n", "kind = \"spin\"\nload = \"spinner\"\n", 1) + "\n[[station]]\nname = \"old table\"\nkind = \"cut\"\ntrays = 2\nhands = \"throughout\"\nper_tray = \"1m\"\n"
	v, r := start(t, src, "en")
	reply(t, v, "What do you want", "breakers")
	reply(t, v, "Which breaker?", "remove one")
	if got := told(v, answer{pick: 1}); got != "On it: fan and lamp. You'll be asked where they go." {
		t.Errorf("of the circuit it says %q", got)
	}
	reply(t, v, "Remove which breaker", "cold wall")
	reply(t, v, "Which breaker are its machines", "wet wall")
	reply(t, v, "What do you want", "machines")
	reply(t, v, "Which machine?", "remove one")
	if got := told(v, answer{pick: 0}); got != "Left without this machine: spin." {
		t.Errorf("of the spinner it says %q", got)
	}
	reply(t, v, "Remove which machine", "spinner")
	reply(t, v, "What do you want", "machines")
	reply(t, v, "Which machine?", "remove one")
	reply(t, v, "Remove which machine", "fan")
	reply(t, v, "What do you want", "stations")
	reply(t, v, "Which station?", "remove one")
	if got := v.now.choices; len(got) != 3 || got[0] != "cut" || got[1] != "old table" {
		t.Errorf("may go: %q", got)
	}
	reply(t, v, "Remove which station", "old table")
	reply(t, v, "What do you want", "write")
	reply(t, v, "Write line.toml?", "yes")
	want := strings.NewReplacer(
		"[[load]]\nname = \"spinner\"\ncircuit = \"wet wall\"\namps = 7 # read on a Monday\ncord_awg = 14\n", "# read on a Monday\n",
		"\n[[circuit]]\nname = \"cold wall\" # dry\nbreaker_a = 15\n", "# dry\n",
		"\n[[load]] # rinses\n# since spring\nname = \"fan\"\ncircuit = \"cold wall\"\n[load.settings]\nlow = 1 # whisper\nhigh = 2\n", "# rinses\n# since spring\n# whisper\n",
		"circuit = \"cold wall\"\namps = 1\n", "circuit = \"wet wall\"\namps = 1\n",
		"load = \"spinner\"\n", "",
		"\n[[station]]\nname = \"old table\"\nkind = \"cut\"\ntrays = 2\nhands = \"throughout\"\nper_tray = \"1m\"\n", "",
	).Replace(src)
	if r.data != want {
		t.Errorf("wrote\n%s\nwant\n%s", r.data, want)
	}
}

// A feeder is asked about, its breakers hang on it, and go back when it goes.
func TestFeeder(t *testing.T) {
	v, r := start(t, plain+stationsOf(), "en")
	reply(t, v, "What do you want", "feeders")
	reply(t, v, "Which feeder", "a new one")
	reply(t, v, "feeder called", "shed feeder")
	reply(t, v, "handle", "40")
	reply(t, v, "feed all the breakers", "yes")
	reply(t, v, "What do you want", "write")
	if got := told(v, answer{}); !strings.Contains(got, "On \"wet wall\" together") || !strings.Contains(got, "licensed electrician") {
		t.Errorf("before writing it shows %q", got)
	}
	reply(t, v, "Write line.toml?", "yes")
	site, faults := files.ReadLine("line.toml", []byte(r.data))
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	if f := site.Panel.Feeders; len(f) != 1 || f[0].RatingA != 40 || site.Panel.Circuits[0].Feeder != "shed feeder" {
		t.Errorf("feeders %+v, circuit %+v", f, site.Panel.Circuits[0])
	}

	v, r = start(t, r.data, "en")
	reply(t, v, "What do you want", "feeders")
	reply(t, v, "Which feeder?", "remove one")
	if got := told(v, answer{}); got != "Left without a feeder: wet wall." {
		t.Errorf("of the feeder it says %q", got)
	}
	reply(t, v, "Remove which feeder", "shed feeder")
	reply(t, v, "What do you want", "write")
	reply(t, v, "Write line.toml?", "yes")
	if r.data != plain+stationsOf() {
		t.Errorf("without it the file is\n%s", r.data)
	}
}

// On 230 V cords have the metric sizes of IEC 60228, and metres.
func TestCordsByTheSupply(t *testing.T) {
	src := strings.Replace(plain, "voltage = 120\n", "voltage = 230\nsupply = \"230\"\n", 1)
	src = strings.Replace(src, "  breaker_a = 15 # old\n", "  breaker_a = 16\nbreaker = \"IEC C\"\n", 1) + stationsOf()
	v, r := start(t, src, "en")
	reply(t, v, "What do you want", "machines")
	reply(t, v, "Which machine", "spinner")
	for v.now.key != "cord-metric" {
		v.give(answer{pick: v.now.pick, text: v.now.value})
	}
	reply(t, v, "printed on its cord", "2.5 mm²")
	reply(t, v, "metres of cord", "25")
	reply(t, v, "What do you want", "write")
	reply(t, v, "Write line.toml?", "yes")
	if want := strings.Replace(src, "cord_awg = 14\n", "cord_mm2 = 2.5\ncord_m = 25\n", 1); r.data != want {
		t.Errorf("wrote\n%s\nwant\n%s", r.data, want)
	}
}

// A key that goes leaves its comment, and a line break of another kind stays one.
func TestEditsKeepCommentsAndLineBreaks(t *testing.T) {
	src := strings.ReplaceAll(plain+stationsOf(), "\n", "\r\n")
	site, faults := files.ReadLine("", []byte(src))
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	before, err := load([]byte(src), site)
	if err != nil {
		t.Fatal(err)
	}
	after := before.clone()
	after.machines[0].forget()
	after.machines[0].Watts, after.machines[0].PowerFactor = 800, 1
	out, err := after.proved(words.English())
	if err != nil {
		t.Fatal(err)
	}
	want := strings.NewReplacer("amps = 7 # read on a Monday\r\n", "# read on a Monday\r\n",
		"cord_awg = 14\r\n", "cord_awg = 14\r\nwatts = 800\r\npower_factor = 1\r\n").Replace(src)
	if out != want {
		t.Errorf("got\n%q\nwant\n%q", out, want)
	}
}

// A file that is written in another way is left alone.
func TestSomeFilesAreChangedByHandOnly(t *testing.T) {
	src := `name = "x"
voltage = 120
crew = ["Ash"]
circuit = [{ name = "a", breaker_a = 20 }]
[[load]]
name = "fan"
circuit = "a"
settings.low = 1
settings.high = 2
` + stationsOf()
	for i, change := range []func(s *shed){
		func(s *shed) { s.Circuits[0].BreakerA = 15 },
		func(s *shed) { s.machines[0].settings[0].amps = 1.5 },
	} {
		site, faults := files.ReadLine("", []byte(src))
		if len(faults) > 0 {
			t.Fatal(strictfile.Join(faults))
		}
		before, err := load([]byte(src), site)
		if err != nil {
			t.Fatal(err)
		}
		after := before.clone()
		change(after)
		if out, err := after.proved(words.English()); err != errByHand || out != "" {
			t.Errorf("%d: %v, wrote %q", i, err, out)
		}
	}
}

// 1000 W at a power factor of 0.7 are 6.2 A on 230 V and 11.9 A on 120 V: a start of
// 10 A cannot be right any more there, and the usual six times take its place.
func TestAStartFollowsTheVolts(t *testing.T) {
	src := strings.NewReplacer("voltage = 120\n", "voltage = 230\nsupply = \"230\"\n",
		"breaker_a = 15 # old\n", "breaker_a = 16\nbreaker = \"IEC C\"\n",
		"amps = 7 # read on a Monday\n", "watts = 1000\npower_factor = 0.7\nstarting_a = 10\nstarting = \"1s\"\n").Replace(plain) + stationsOf()
	v, r := start(t, src, "en")
	reply(t, v, "What do you want", "supply")
	reply(t, v, "What supply", "120 V")
	reply(t, v, "What do you want", "write")
	reply(t, v, "Write line.toml?", "yes")
	site, faults := files.ReadLine("line.toml", []byte(r.data))
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	if l := site.Panel.Loads[0]; l.StartingA != 72 {
		t.Errorf("running on %.1f A it starts with %g A, want 72", l.WorstA(), l.StartingA)
	}
}
