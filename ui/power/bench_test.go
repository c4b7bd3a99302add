package powerui

import (
	"fmt"
	"testing"
	"time"

	"github.com/muesli/termenv"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
	"shedbell/recipes"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// longDay is a shed of 40 loads on 8 circuits with 2,000 records within its last
// hours.
func longDay() *day {
	site := &line.Site{Name: "Bench shed", Crew: []string{"Ash"}, Panel: power.Panel{VoltageV: 120}}
	for c := range 8 {
		site.Panel.Circuits = append(site.Panel.Circuits, power.Circuit{Name: fmt.Sprintf("circuit %d", c), RatingA: 20})
		for k := range 5 {
			site.Panel.Loads = append(site.Panel.Loads, power.Load{Name: fmt.Sprintf("load %d of %d", k, c), Circuit: c,
				Settings: []power.Setting{{Name: "on", AmpsA: 1 + float64(k)}}, StartingA: 12, StartingTime: time.Second})
		}
	}
	s := line.NewState(site, recipes.Book{})
	d := &day{before: s, s: s, now: linetest.Morning}
	for i := 0; len(d.records) < 2000; i++ {
		if load := i * 7 % 40; !d.do(line.SwitchOn{Load: load}) {
			d.do(line.SwitchOff{Load: (i * 3) % 40})
		} else if i%3 != 0 {
			d.do(line.SwitchOff{Load: load})
		}
		d.now = d.now.Add(5 * time.Second)
	}
	return d
}

func BenchmarkDraw(b *testing.B) {
	d := longDay()
	look := theme.New(theme.Options{Name: theme.Dark, Profile: termenv.TrueColor})
	env := d.env()
	env.Theme, env.Size = look, screen.Size{W: 200, H: 60}
	v := New()
	b.Run("first", func(b *testing.B) {
		for b.Loop() {
			New().Draw(env, canvas.New(200, 60, look).All())
		}
	})
	b.Run("next", func(b *testing.B) {
		for b.Loop() {
			env.Now = env.Now.Add(time.Second)
			v.Draw(env, canvas.New(200, 60, look).All())
		}
	})
}

// BenchmarkRead is what the charts cost a day that grows by a record a frame.
func BenchmarkRead(b *testing.B) {
	d := longDay()
	all := d.records
	for b.Loop() {
		var h past
		env := d.env()
		for n := 1000; n < len(all); n++ {
			env.History, env.Now = all[:n], all[n-1].At
			h.read(env)
			h.columns(env.Now, d.s.Site, 100)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "µs/record")
}
