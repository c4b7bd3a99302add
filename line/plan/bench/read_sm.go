package bench

import "strings"

// readSM reads a PSPLIB single-mode instance.
func readSM(s *scanner) (*Instance, error) {
	in := &Instance{}
	jobs, resources, err := smHeader(s)
	if err != nil {
		return nil, err
	}
	if err := s.nextFull(); err != nil { // column names
		return nil, err
	}
	in.Duration = make([]int, jobs)
	in.Request = make([][]int, jobs)
	successors := make([][]int, jobs)
	for job := 1; job <= jobs; job++ {
		ns, err := s.intsOnNext(3)
		if err != nil {
			return nil, err
		}
		if ns[0] != job {
			return nil, s.errorf("job %d where job %d belongs", ns[0], job)
		}
		if ns[1] != 1 {
			return nil, s.errorf("%d modes; only 1 is read", ns[1])
		}
		if ns[2] != len(ns)-3 {
			return nil, s.errorf("%d successors announced, %d listed", ns[2], len(ns)-3)
		}
		for _, j := range ns[3:] {
			if j < 1 || j > jobs || j == job {
				return nil, s.errorf("successor %d of job %d, of %d jobs", j, job, jobs)
			}
		}
		successors[job-1] = ns[3:]
	}
	if err := smRequests(s, in, resources); err != nil {
		return nil, err
	}
	for i, js := range successors {
		for _, j := range js {
			in.Lags = append(in.Lags, Lag{i, j - 1, in.Duration[i]})
		}
	}
	return in, nil
}

// smHeader reads up to the line PRECEDENCE RELATIONS.
func smHeader(s *scanner) (jobs, resources int, err error) {
	for {
		if err := s.nextFull(); err != nil {
			return 0, 0, err
		}
		key, value, _ := strings.Cut(s.text, ":")
		key = strings.TrimSpace(key)
		switch {
		case strings.HasPrefix(key, "jobs"):
			if jobs, err = s.number(strings.TrimSpace(value)); err != nil {
				return 0, 0, err
			}
			if jobs < 1 || jobs > 10000 {
				return 0, 0, s.errorf("%d jobs", jobs)
			}
		case strings.HasPrefix(key, "- "):
			if err := smResourceLine(s, key, value, &resources); err != nil {
				return 0, 0, err
			}
		case strings.HasPrefix(key, "PRECEDENCE RELATIONS"):
			if jobs == 0 {
				return 0, 0, s.errorf("no line with the number of jobs before this section")
			}
			return jobs, resources, nil
		}
	}
}

// smResourceLine reads a count such as "- renewable : 4 R".
func smResourceLine(s *scanner, key, value string, resources *int) error {
	fields := strings.Fields(value)
	if len(fields) == 0 {
		return s.errorf("no number of resources")
	}
	n, err := s.number(fields[0])
	if err != nil {
		return err
	}
	if n < 0 || n > 100 {
		return s.errorf("%d resources", n)
	}
	if strings.TrimSpace(strings.TrimPrefix(key, "-")) == "renewable" {
		*resources = n
	} else if n != 0 {
		return s.errorf("only renewable resources are read")
	}
	return nil
}

func smRequests(s *scanner, in *Instance, resources int) error {
	if err := smSeparator(s, "REQUESTS/DURATIONS", 2); err != nil {
		return err
	}
	if err := readRequests(s, in, "job", 1, resources); err != nil {
		return err
	}
	if err := smSeparator(s, "RESOURCEAVAILABILITIES", 1); err != nil {
		return err
	}
	if err := readCapacities(s, in, resources); err != nil {
		return err
	}
	for s.next() {
		if strings.Trim(s.text, "* \t") != "" {
			return s.errorf("unexpected text after the end: %q", s.text)
		}
	}
	return s.in.Err()
}

// smSeparator demands a line of asterisks, the section title and skips its
// header lines.
func smSeparator(s *scanner, title string, headers int) error {
	if err := s.nextFull(); err != nil {
		return err
	}
	if strings.Trim(s.text, "* \t") != "" {
		return s.errorf("%q where a line of asterisks belongs", s.text)
	}
	if err := s.nextFull(); err != nil {
		return err
	}
	if !strings.HasPrefix(strings.TrimSpace(s.text), title) {
		return s.errorf("%q where %s belongs", s.text, title)
	}
	for range headers {
		if err := s.nextFull(); err != nil {
			return err
		}
	}
	return nil
}
