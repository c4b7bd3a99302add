package files

import (
	"reflect"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"

	"shedbell/line/meter"
)

func TestFaultsOfMeters(t *testing.T) {
	const good = "[meters]\naddress = \"127.0.0.1:1883\"\nanonymous = true\n"
	const head = good + "[[meter]]\ntopic = \"a/b\"\nunit = \"A\"\n"
	for text, want := range map[string]string{
		"[[meter]]\nload = \"spinner\"\ntopic = \"a\"\nunit = \"A\"\n":                             "meter fault.meters-none",
		"[meters]\nanonymous = true\n":                                                             "meters.address fault.address-not",
		"[meters]\naddress = \"shed\"\nanonymous = true\n":                                         "meters.address fault.address-not",
		"[meters]\naddress = \"127.0.0.1:70000\"\nanonymous = true\n":                              "meters.address fault.address-not",
		"[meters]\naddress = \"0.0.0.0:1883\"\nanonymous = true\n":                                 "meters.anonymous fault.anonymous-far",
		"[meters]\naddress = \"[::1]:1883\"\n":                                                     "meters.users fault.users-none",
		"[meters]\naddress = \"[::1]:1883\"\nusers = { plug = \"secret\" }\n":                      "meters.users.plug fault.hash-not",
		good + "cert = \"a.pem\"\n":                                                                "meters.cert fault.tls-half",
		good + "key = \"a.pem\"\n":                                                                 "meters.key fault.tls-half",
		head:                                                                                       "meter[0] fault.meter-of",
		head + "load = \"spinner\"\ncircuit = \"wet wall\"\n":                                      "meter[0] fault.meter-of",
		head + "load = \"spinster\"\n":                                                             "meter[0].load fault.unknown-load",
		head + "circuit = \"wet\"\n":                                                               "meter[0].circuit fault.unknown-circuit",
		head + "fridge = \"rack\"\n":                                                               "meter[0].unit fault.meter-unit",
		head + "load = \"spinner\"\npointer = \"a\"\n":                                             "meter[0].pointer fault.pointer-not",
		head + "load = \"spinner\"\nfactor = 0\n":                                                  "meter[0].factor fault.out-range",
		head + "load = \"spinner\"\nfresh = \"2h\"\n":                                              "meter[0].fresh fault.out-range",
		head + "load = \"spinner\"\nrecord_every = \"5m\"\n":                                       "meter[0].record_every fault.every-not",
		good + "[[meter]]\nload = \"spinner\"\ntopic = \"a/#\"\nunit = \"A\"\n":                    "meter[0].topic fault.topic-not",
		good + "[[meter]]\nload = \"spinner\"\ntopic = \"$SYS/a\"\nunit = \"A\"\n":                 "meter[0].topic fault.topic-not",
		head + "load = \"spinner\"\n[[meter]]\nload = \"lights\"\ntopic = \"a/b\"\nunit = \"A\"\n": "meter[1].topic fault.meter-twice",
	} {
		site, faults := ReadLine("line.toml", append(append([]byte{}, starterLine...), text...))
		found := false
		for _, f := range faults {
			found = found || f.Key+" "+f.Problem.ID == want
			if f.Value == `"secret"` {
				t.Error("the fault shows what may be a password")
			}
		}
		if !found || site != nil {
			t.Errorf("%s\nhas the faults %v, want %s", text, faults, want)
		}
	}
}

func TestMetersOfALineFile(t *testing.T) {
	hash, err := bcrypt.GenerateFromPassword([]byte("secret"), bcrypt.MinCost)
	if err != nil {
		t.Fatal(err)
	}
	text := string(starterLine) + "[meters]\naddress = \"192.168.1.5:8883\"\nusers = { plug = \"" + string(hash) + "\" }\ncert = \"c.pem\"\nkey = \"k.pem\"\n" +
		"[[meter]]\nload = \"spinner\"\ntopic = \"plugs/3\"\npointer = \"/apower\"\nunit = \"W\"\nfresh = \"10s\"\n" +
		"[[meter]]\nfridge = \"fridge\"\ntopic = \"cold\"\nunit = \"C\"\nrecord_every = \"15m\"\n"
	if _, faults := ReadLine("line.toml", []byte(text)); len(faults) > 0 {
		t.Fatal(faults)
	}
	want := &meter.Config{Address: "192.168.1.5:8883", Users: map[string]string{"plug": string(hash)}, Cert: "c.pem", Key: "k.pem", Meters: []meter.Meter{
		{Kind: meter.Load, Of: "spinner", Topic: "plugs/3", Pointer: meter.Pointer{"apower"}, Unit: "W", Factor: 1, Fresh: 10 * time.Second, Every: usualEvery},
		{Kind: meter.Fridge, Of: "fridge", Topic: "cold", Unit: "C", Factor: 1, Fresh: usualFresh, Every: 15 * time.Minute}}}
	if got := ReadMeters("line.toml", []byte(text)); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v\nwant %+v", got, want)
	}
	if ReadMeters("line.toml", starterLine) != nil {
		t.Error("the starter line listens")
	}
}
