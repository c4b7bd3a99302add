package line_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// That training is recorded with who was trained, in what, when, and who answers
// for it: 21 CFR 112.30(b) asks for records of training with the date, topics and
// persons trained (from memory).
func TestSignOff(t *testing.T) {
	spin := line.SignOff{Person: " Rowan ", Station: line.Spin, SignedBy: "Ash"}
	s := linetest.Open()
	do := func(c line.Command, refusal string) {
		t.Helper()
		next, _, no := line.Do(s, c, s.At.Add(time.Minute), "Ash")
		switch {
		case refusal == "" && no != nil:
			t.Fatalf("%+v: %s", c, no.Error())
		case refusal != "" && (no == nil || !strings.Contains(no.Error(), refusal)):
			t.Fatalf("%+v: %v, want %q", c, no, refusal)
		}
		s = next
	}
	may := func(want bool) {
		t.Helper()
		if _, ok := s.SignedOff("rowan", line.Spin); ok != want {
			t.Fatalf("signed off: %v, want %v: %+v", ok, want, s.SignOffs)
		}
	}
	do(line.SignOff{Person: "Rowan", Station: line.Spin, SignedBy: "rowan"}, "nobody signs off themselves")
	do(line.SignOff{Person: "", Station: line.Spin, SignedBy: "Ash"}, "name the person")
	do(line.SignOff{Person: "Rowan", Station: line.Spin}, "who vouches for it")
	do(line.SignOff{Person: "Rowan", Station: 99, SignedBy: "Ash"}, "no station of that kind")
	may(false)
	do(spin, "")
	may(true)
	if o := s.SignOffs[0]; o.Person != "Rowan" || o.SignedBy != "Ash" || !o.At.Equal(linetest.Morning.Add(time.Minute)) || o.Seq != s.Seq {
		t.Errorf("kept as %+v", o)
	}
	do(spin, "was already signed off for spin by Ash on 2026-12-03")
	do(line.Undo{}, "")
	may(false)
	do(spin, "")
	do(line.RevokeSignOff{Person: "Rowan", Station: line.Spin, SignedBy: "Ash"}, "say why")
	do(line.RevokeSignOff{Person: "Rowan", Station: line.Dry, SignedBy: "Ash", Why: "a year away"}, "not signed off for dry")
	do(line.RevokeSignOff{Person: "Rowan", Station: line.Spin, SignedBy: "Ash", Why: "a year away"}, "")
	may(false)
	do(line.Undo{}, "")
	may(true)
}
