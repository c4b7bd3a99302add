package lcg

// Product is a coefficient times a variable.
type Product struct {
	Coef int32
	Var  Var
}

// linear is a sum of positive multiples of signed variables, at most limit.
type linear struct {
	id    int
	coef  []int64
	b     []int32
	limit int64
}

// AddLinear posts sum <= limit, at the root.
func (e *Engine) AddLinear(sum []Product, limit int64) {
	l := &linear{id: len(e.linears), limit: limit}
	wakes := make([]int32, 0, len(sum))
	for _, p := range sum {
		if p.Coef == 0 {
			continue
		}
		b, c := int32(p.Var)*2, int64(p.Coef)
		if c < 0 {
			b, c = b^1, -c
		}
		l.coef = append(l.coef, c)
		l.b = append(l.b, b)
		wakes = append(wakes, b)
	}
	e.linears = append(e.linears, l)
	e.addPropagator(l, wakes...)
}

func (l *linear) propagate(e *Engine) bool {
	sum := int64(0)
	for i, b := range l.b {
		sum += l.coef[i] * int64(e.lo[b])
	}
	slack := l.limit - sum
	if slack < 0 {
		e.confl = l.relax(e, e.confl[:0], -1, -slack-1, len(e.trail))
		return false
	}
	for i, b := range l.b {
		most := int64(e.lo[b]) + slack/l.coef[i]
		if most < -int64(e.lo[b^1]) && !e.set(b^1, -int32(most), makeReason(byLinear, l.id)) {
			return false
		}
	}
	return true
}

// explain appends the bounds that made -b's variable at least k.
func (l *linear) explain(e *Engine, out []Lit, b, k int32, pos int) []Lit {
	own := -1
	sum := int64(0)
	for i, bi := range l.b {
		if bi == b^1 {
			own = i
			sum += l.coef[i] * (1 - int64(k))
		} else {
			sum += l.coef[i] * int64(e.boundAt(bi, pos))
		}
	}
	return l.relax(e, out, own, sum-l.limit-1, pos)
}

// relax appends lower bounds of all but own, giving away up to spare of their
// weighted sum so that fewer or weaker ones are blamed.
func (l *linear) relax(e *Engine, out []Lit, own int, spare int64, pos int) []Lit {
	base := len(out)
	for i, b := range l.b {
		if i == own {
			continue
		}
		k := e.boundAt(b, pos)
		above := l.coef[i] * int64(k-e.root[b])
		switch {
		case above == 0:
		case above <= spare:
			spare -= above
		default:
			out = append(out, Lit{b, k})
		}
	}
	for i, b := range l.b {
		if base < len(out) && out[base].B == b && i != own {
			step := spare / l.coef[i]
			out[base].K -= int32(step)
			spare -= step * l.coef[i]
			base++
		}
	}
	return out
}
