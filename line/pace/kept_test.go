package pace_test

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/pace"
)

// Times that are taken over later than newer ones count as of their own day.
func TestOldTimesCountAsOld(t *testing.T) {
	work := func(day int) pace.Work {
		return pace.Work{Date: fmt.Sprintf("2026-11-%02d", day), Station: "packing table", Kind: line.Pack, Crop: "pea", Person: "Ash", Trays: 4,
			Took: time.Duration(400-10*day) * time.Second, File: 5 * time.Minute}
	}
	var inOrder, late pace.Learner
	for day := 1; day <= 20; day++ {
		inOrder.Add(work(day))
	}
	for _, from := range []int{11, 1} {
		for day := from; day < from+10; day++ {
			late.Add(work(day))
		}
	}
	a, b := inOrder.Learned("").Rows(), late.Learned("").Rows()
	if len(a) == 0 || !reflect.DeepEqual(a, b) {
		t.Errorf("in order %+v\nlate %+v", a, b)
	}
}
