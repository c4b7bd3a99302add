package plan

// profile is how many units of something are taken at each instant; beyond the end
// of use it is rest.
type profile struct {
	cap  int
	use  []int32
	rest int
}

func (p *profile) reset(capacity int) {
	p.cap = capacity
	p.use, p.rest = p.use[:0], 0
}

func (p *profile) at(t int) int {
	if t < len(p.use) {
		return int(p.use[t])
	}
	return p.rest
}

func (p *profile) add(from, to, n int) {
	if from >= to || n == 0 {
		return
	}
	p.grow(to)
	for t := from; t < to; t++ {
		p.use[t] += int32(n)
	}
}

// open takes n units from an instant on, without an end.
func (p *profile) open(from, n int) {
	p.grow(from)
	for t := from; t < len(p.use); t++ {
		p.use[t] += int32(n)
	}
	p.rest += n
}

func (p *profile) grow(to int) {
	for len(p.use) < to {
		p.use = append(p.use, int32(p.rest))
	}
}

// firstFull is the first instant in [from, to) at which n more do not fit, or none.
func (p *profile) firstFull(from, to, n int) int {
	for t := from; t < min(to, len(p.use)); t++ {
		if int(p.use[t])+n > p.cap {
			return t
		}
	}
	if to > max(from, len(p.use)) && p.rest+n > p.cap {
		return max(from, len(p.use))
	}
	return none
}

// nextFree is the first instant from t on at which n more fit, or farAway.
func (p *profile) nextFree(t, n int) int {
	for t < len(p.use) && int(p.use[t])+n > p.cap {
		t++
	}
	if t >= len(p.use) && p.rest+n > p.cap {
		return farAway
	}
	return t
}

// earliest is the first instant from t on from which one more fits for so long.
func (p *profile) earliest(t, long int) int {
	for long > 0 && t < farAway {
		full := p.firstFull(t, t+long, 1)
		if full == none {
			break
		}
		t = p.nextFree(full, 1)
	}
	return t
}
