package pages_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
)

// With a dead fan bank the greens still dry, and their countdown says for how long.
func TestDryWithoutTheFans(t *testing.T) {
	d := openStation(t, 100, 30)
	d.Press("4", "4")
	d.Press("f")
	d.Expect("Not here: no greens wait for it.")
	d.Do(line.Start{Batch: 1, To: line.Anywhere})
	d.Skip(10 * time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Skip(4 * time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Skip(4 * time.Minute)
	d.Do(line.Finish{At: at(linetest.Spin, 0)})
	d.Pass(time.Second)
	d.Press("f")
	r, _ := d.State().Recipe("pea")
	step := d.State().Batch(1).Step
	if step.Place != at(linetest.Rack, 0) || step.Planned != r.DryAt(recipes.FanOff) || step.Load != line.NoLoad {
		t.Fatalf("%+v", step)
	}
	if d.State().Power.Loads[linetest.Fans].On {
		t.Error("the fans count amps while they are dead")
	}
	d.Do(line.Finish{At: step.Place})
	if got := d.State().Batch(1).Ran.Fan; got != recipes.FanOff {
		t.Errorf("the batch is said to have dried with the fans at %q", got)
	}
}
