package strictfile

import (
	"bytes"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"shedbell/recipes/strictfile/fuzztest"
)

// Whatever the bytes, Decode must not panic, must place every fault inside the
// file, must say it without control characters, and may accept nothing that the
// TOML decoder itself refuses.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		good, "", "a", "\xef\xbb\xbfname='x'", "[[loads]]\n[loads.x]", "marks=[{a=[1]}]", "x = \"\"\"\n", "a.b.c=1\n[a]",
		"name = \"\\u0000\"\r\n", "day = 12:00:00\n", "loads = [1,\n", "[a]\n[a]\n", "{", "start = 'x'\n= 1\n== 2",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		defer fuzztest.Bound(t)()
		var p panel
		where, faults := Decode("x.toml", data, &p)
		lines := strings.Count(string(data), "\n") + 1
		for _, fault := range faults {
			if fault.Line < 0 || fault.Line > lines || (fault.Line > 0 && fault.Column < 1) {
				t.Errorf("fault outside the file: %+v", fault)
			}
			if strings.ContainsFunc(fault.Error(), IsControl) {
				t.Errorf("control character in %q", fault.Error())
			}
		}
		if line, _, _ := where.At("loads[0].amps"); line < 1 || line > lines {
			t.Errorf("place outside the file: line %d", line)
		}
		if len(faults) > 0 {
			return
		}
		var m map[string]any
		if err := toml.Unmarshal(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), &m); err != nil {
			t.Errorf("accepted what is no TOML: %v", err)
		}
	})
}
