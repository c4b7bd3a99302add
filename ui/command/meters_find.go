package command

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/pelletier/go-toml/v2"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/live/meters"
	"shedbell/line/meter"
	"shedbell/line/say"
	"shedbell/power"
	"shedbell/recipes/strictfile"
	"shedbell/ui/setup"
)

// metersFindCmd finds under which topic the meter of each machine speaks: somebody
// switches the machine on and says which of the values that rose is its current.
type metersFindCmd struct {
	Wait time.Duration `default:"1m" placeholder:"TIME"`
}

// found is a [[meter]] that the line file gets.
type found struct {
	Load    string `toml:"load"`
	Topic   string `toml:"topic"`
	Pointer string `toml:"pointer,omitempty"`
	Unit    string `toml:"unit"`
}

func (c *metersFindCmd) Run(a *app) error {
	in := a.readFiles()
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	dir, err := a.folder()
	if err != nil {
		return err
	}
	cfg := files.ReadMeters(in.line.name, in.line.data)
	if cfg == nil || !in.line.found {
		return say.Error("cmd-meters.find-none", in.line.name)
	}
	s := &search{a: a, wait: c.Wait, lines: lines(a.ctx, a.env.Stdin)}
	room, err := meters.Hear(*cfg, dir, s.take)
	if err != nil {
		return say.Error("cmd-meters.find-taken", cfg.Address, err)
	}
	defer room.Close()
	s.tell("cmd-meters.find-start", room.Address())
	all, err := s.machines(in.site, cfg)
	if err != nil || len(all) == 0 {
		return err
	}
	return s.write(in, all)
}

// lines reads what is typed until nothing more comes.
func lines(ctx context.Context, from io.Reader) <-chan string {
	out := make(chan string)
	go func() {
		defer close(out)
		for sc := bufio.NewScanner(from); sc.Scan(); {
			select {
			case out <- strings.TrimSpace(sc.Text()):
			case <-ctx.Done():
				return
			}
		}
	}()
	return out
}

// search asks about one machine after the other while meters speak.
type search struct {
	a     *app
	wait  time.Duration
	lines <-chan string

	mu     sync.Mutex
	finder meter.Finder
}

func (s *search) take(topic string, payload []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.finder.Take(topic, payload)
}

func (s *search) tell(key string, args ...any) {
	fmt.Fprint(s.a.env.Stdout, wrap(s.a.words.Say(key, args...), 2))
}

// ask waits for a line; what is typed ahead is an answer, an end of the input is none.
func (s *search) ask(key string, args ...any) (string, error) {
	s.tell(key, args...)
	select {
	case line, ok := <-s.lines:
		if !ok {
			return "", say.Error("cmd-meters.find-ended")
		}
		return strings.ToLower(line), nil
	case <-s.a.ctx.Done():
		return "", s.a.ctx.Err()
	}
}

// machines goes through those that have no meter yet and can be switched on by hand.
func (s *search) machines(site *line.Site, cfg *meter.Config) (all []found, err error) {
	p := &site.Panel
	for i := range p.Loads {
		l := &p.Loads[i]
		has := slices.ContainsFunc(cfg.Meters, func(m meter.Meter) bool { return m.Kind == meter.Load && m.Of == l.Name })
		if has || l.StaysOn || l.Cycles {
			continue
		}
		if v := p.Judge(power.NewState(p), power.Ask{Load: i}, s.a.env.Now()); !v.Allowed {
			s.tell("cmd-meters.find-never", say.Load(l.Name))
			continue
		}
		switch got, err := s.machine(l, p.CircuitV(l.Circuit)); {
		case err != nil:
			return nil, err
		case got != nil:
			all = append(all, *got)
		}
	}
	return all, nil
}

// skips is the answer that leaves a machine out.
const skips = "0"

// machine asks about one; nil: it was skipped.
func (s *search) machine(l *power.Load, volts float64) (*found, error) {
	s.tell("cmd-meters.find-rest", say.Load(l.Name))
	s.mu.Lock()
	s.finder.Mark()
	s.mu.Unlock()
	answer, err := s.ask("cmd-meters.find-on", say.Load(l.Name))
	if err != nil || answer == skips {
		return nil, err
	}
	refused := map[meter.Candidate]bool{}
	for end := time.Now().Add(s.wait); ; {
		c, ok := s.risen(l, volts, refused)
		switch {
		case ok:
			answer, err := s.ask("cmd-meters.find-this", strictfile.Printable(c.Topic+" "+c.Pointer), c.AmpsA, say.Load(l.Name))
			if err != nil {
				return nil, err
			}
			if answer == "" {
				_, err := s.ask("cmd-meters.find-off", say.Load(l.Name))
				return &found{l.Name, c.Topic, c.Pointer, c.Unit}, err
			}
			refused[meter.Candidate{Topic: c.Topic, Pointer: c.Pointer}] = true
		case time.Now().After(end):
			s.mu.Lock()
			n := s.finder.Topics()
			s.mu.Unlock()
			_, err := s.ask("cmd-meters.find-silent", say.Load(l.Name), n)
			return nil, err
		default:
			select {
			case <-time.After(200 * time.Millisecond):
			case <-s.a.ctx.Done():
				return nil, s.a.ctx.Err()
			}
		}
	}
}

// risen is the likeliest value that was not refused yet.
func (s *search) risen(l *power.Load, volts float64, refused map[meter.Candidate]bool) (meter.Candidate, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, c := range s.finder.Risen(l.Settings[0].AmpsA, volts) {
		if !refused[meter.Candidate{Topic: c.Topic, Pointer: c.Pointer}] {
			return c, true
		}
	}
	return meter.Candidate{}, false
}

// write adds the meters to the end of the line file, where it has no faults with them.
func (s *search) write(in *inputs, all []found) error {
	added, err := toml.Marshal(struct {
		Meter []found `toml:"meter"`
	}{all})
	if err != nil {
		return err
	}
	data := slices.Concat(bytes.TrimRight(in.line.data, "\n"), []byte("\n\n"), added)
	if _, faults := files.ReadLine(in.line.name, data); len(faults) > 0 {
		return &faultsError{faults}
	}
	kept, err := setup.Save(in.line.name, data, in.line.data)
	if err != nil {
		return err
	}
	s.tell("cmd-meters.find-written", len(all), in.line.name, kept)
	return nil
}
