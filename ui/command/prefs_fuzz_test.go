package command

import (
	"reflect"
	"strings"
	"testing"

	"shedbell/recipes/strictfile"
	"shedbell/recipes/strictfile/fuzztest"
)

// FuzzRead: whatever is in settings.toml, it is either faults that can be shown, with
// the defaults beside them, or settings that are written and read back as they were.
func FuzzPrefs(f *testing.F) {
	f.Add(WritePrefs(DefaultPrefs()))
	for _, s := range []string{"", "theme = 'dark'\nclock = '12h'", "quiet_from = '24:00'", "quiet_to = '7:5'", "sound = ['a', \"\\u001b\"]", "sound = 'x'", "language = 'es'\nmute = 1"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		defer fuzztest.Bound(t)()
		got, faults := ReadPrefs("settings.toml", data)
		for _, fault := range faults {
			if strings.ContainsFunc(fault.Error(), strictfile.IsControl) || fault.Mend.IsZero() {
				t.Errorf("said as %q", fault.Error())
			}
		}
		if len(faults) > 0 {
			if !reflect.DeepEqual(got, DefaultPrefs()) {
				t.Errorf("%+v beside faults", got)
			}
			return
		}
		text := WritePrefs(got)
		again, faults := ReadPrefs("settings.toml", text)
		if len(got.Sound)+len(again.Sound) == 0 {
			got.Sound, again.Sound = nil, nil
		}
		if len(faults) > 0 || !reflect.DeepEqual(got, again) {
			t.Errorf("%+v came back as %+v, %v, from\n%s", got, again, strictfile.Join(faults), text)
		}
	})
}
