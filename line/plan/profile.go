package plan

// profile is how many units of something are taken at each instant. Beyond its end
// nothing is taken.
type profile struct {
	cap int
	use []int32
}

func (p *profile) reset(capacity int) {
	p.cap = capacity
	p.use = p.use[:0]
}

func (p *profile) at(t int) int {
	if t < len(p.use) {
		return int(p.use[t])
	}
	return 0
}

func (p *profile) add(from, to, n int) {
	if from >= to || n == 0 {
		return
	}
	for len(p.use) < to {
		p.use = append(p.use, 0)
	}
	for t := from; t < to; t++ {
		p.use[t] += int32(n)
	}
}

// firstFull is the first instant in [from, to) at which n more do not fit, or none.
func (p *profile) firstFull(from, to, n int) int {
	for t := from; t < min(to, len(p.use)); t++ {
		if int(p.use[t])+n > p.cap {
			return t
		}
	}
	if to > max(from, len(p.use)) && n > p.cap {
		return max(from, len(p.use))
	}
	return none
}

// nextFree is the first instant from t on at which n more fit.
func (p *profile) nextFree(t, n int) int {
	for t < len(p.use) && int(p.use[t])+n > p.cap {
		t++
	}
	return t
}

// earliest is the first instant from t on from which one more fits for so long.
func (p *profile) earliest(t, long int) int {
	for long > 0 {
		full := p.firstFull(t, t+long, 1)
		if full == none {
			break
		}
		t = p.nextFree(full, 1)
	}
	return t
}
