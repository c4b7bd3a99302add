package bench

import "strings"

// readSCH reads a ProGen/max instance.
func readSCH(s *scanner) (*Instance, error) {
	head, err := s.intsOnNext(4)
	if err != nil {
		return nil, err
	}
	n, resources := head[0]+2, head[1]
	if len(head) != 4 || head[0] < 0 || n > 10000 || resources < 0 || resources > 100 || head[2] != 0 || head[3] != 0 {
		return nil, s.errorf("the first line must be: activities, resources, 0, 0")
	}
	in := &Instance{Duration: make([]int, n), Request: make([][]int, n)}
	for i := range n {
		if err := schSuccessors(s, in, i, n); err != nil {
			return nil, err
		}
	}
	if err := readRequests(s, in, "activity", 0, resources); err != nil {
		return nil, err
	}
	if resources > 0 {
		if err := readCapacities(s, in, resources); err != nil {
			return nil, err
		}
	}
	return in, s.end()
}

// schSuccessors reads one line: activity, modes, count, successors, lags.
func schSuccessors(s *scanner, in *Instance, i, n int) error {
	if err := s.nextFull(); err != nil {
		return err
	}
	fields := strings.Fields(s.text)
	if len(fields) < 3 {
		return s.errorf("%d fields where at least 3 belong", len(fields))
	}
	var head [3]int
	for k := range head {
		v, err := s.number(fields[k])
		if err != nil {
			return err
		}
		head[k] = v
	}
	if head[0] != i || head[1] != 1 {
		return s.errorf("activity %d with %d modes where activity %d with 1 mode belongs", head[0], head[1], i)
	}
	count := head[2]
	if count < 0 || len(fields) != 3+2*count {
		return s.errorf("%d successors need %d fields, not %d", count, 3+2*count, len(fields))
	}
	for k := range count {
		j, err := s.number(fields[3+k])
		if err != nil {
			return err
		}
		if j < 0 || j >= n || j == i {
			return s.errorf("successor %d of activity %d, of %d", j, i, n)
		}
		lag := fields[3+count+k]
		if !strings.HasPrefix(lag, "[") || !strings.HasSuffix(lag, "]") {
			return s.errorf("%q is not a lag in brackets", lag)
		}
		gap, err := s.number(lag[1 : len(lag)-1])
		if err != nil {
			return err
		}
		in.Lags = append(in.Lags, Lag{i, j, gap})
	}
	return nil
}
