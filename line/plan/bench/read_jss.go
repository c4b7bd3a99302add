package bench

import "strings"

// readJSS reads a job shop: operation k of job j is activity j*machines+k.
func readJSS(s *scanner) (*Instance, error) {
	head, err := jssLine(s)
	if err != nil {
		return nil, err
	}
	if len(head) != 2 || head[0] < 1 || head[1] < 1 || head[0] > 1000 || head[1] > 100 {
		return nil, s.errorf("the first line must be: jobs, machines")
	}
	jobs, machines := head[0], head[1]
	in := &Instance{Capacity: make([]int, machines)}
	for m := range in.Capacity {
		in.Capacity[m] = 1
	}
	for range jobs {
		ns, err := jssLine(s)
		if err != nil {
			return nil, err
		}
		if len(ns) != 2*machines {
			return nil, s.errorf("%d numbers where %d pairs of machine and duration belong", len(ns), machines)
		}
		for k := 0; k < len(ns); k += 2 {
			m, d := ns[k], ns[k+1]
			if m < 0 || m >= machines || d < 0 {
				return nil, s.errorf("machine %d with duration %d, of %d machines", m, d, machines)
			}
			req := make([]int, machines)
			req[m] = 1
			at := len(in.Duration)
			if k > 0 {
				in.Lags = append(in.Lags, Lag{at - 1, at, in.Duration[at-1]})
			}
			in.Duration = append(in.Duration, d)
			in.Request = append(in.Request, req)
		}
	}
	return in, s.end()
}

// jssLine reads the next line of numbers that is not a comment.
func jssLine(s *scanner) ([]int, error) {
	for {
		if err := s.nextFull(); err != nil {
			return nil, err
		}
		if !strings.HasPrefix(strings.TrimSpace(s.text), "#") {
			return s.ints()
		}
	}
}
