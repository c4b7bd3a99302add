package start

import (
	"testing"
	"time"

	"shedbell/line/linetest"
	"shedbell/line/live/meters"
	"shedbell/line/meter"
	"shedbell/ui/command"
)

// Nothing listens where the line file has no meters, and a broker that cannot listen
// leaves the line to what people say.
func TestMetersBesideALine(t *testing.T) {
	o := command.BoardOptions{Folder: t.TempDir(), LineFile: true, Site: linetest.Site(), Book: linetest.Book(), Speed: 1, Now: func() time.Time { return linetest.Morning }}
	l, _, err := openLine(o)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	var none listener
	if says := none.open(o, l); len(says) > 0 || none.room.Load() != nil || none.measured(o) != nil || none.close() != nil {
		t.Errorf("without [meters] it says %v", says)
	}
	o.Meters = &meter.Config{Address: "127.0.0.1:0", Anonymous: true, Meters: []meter.Meter{{Kind: meter.Load, Of: "spinner", Topic: "a", Unit: "A", Factor: 1, Fresh: time.Minute}}}
	var beside listener
	if says := beside.open(o, l); len(says) > 0 {
		t.Fatal(says)
	}
	if _, has := beside.measured(o).Load("spinner", l.Now()); !has {
		t.Error("the meter is not known")
	}
	if _, has := beside.measured(o).Load("fridge", l.Now()); has {
		t.Error("a meter that is not there is known")
	}
	twice := o
	twice.Meters = &meter.Config{Address: beside.room.Load().Address(), Anonymous: true}
	var late listener
	if says := late.open(twice, l); len(says) != 1 || late.close() != nil {
		t.Errorf("where somebody else listens it says %v", says)
	}
	if _, has := late.measured(twice).Load("spinner", l.Now()); has {
		t.Error("it hears without listening")
	}
	at := beside.room.Load().Address()
	if err := beside.close(); err != nil {
		t.Fatal(err)
	}
	again, err := meters.Open(meter.Config{Address: at, Anonymous: true}, "", l)
	if err != nil {
		t.Fatalf("it still listens: %v", err)
	}
	again.Close()
}
