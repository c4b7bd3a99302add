package sched

import "slices"

// clearTable frees every resource at every time in use so far.
func (b *serialBuilder) clearTable() {
	if b.words == 1 {
		f := b.full[0]
		t := b.free[:b.span+1]
		for i := range t {
			t[i] = f
		}
	} else {
		for t := range b.span + 1 {
			copy(b.free[int(t)*b.words:], b.full)
		}
	}
	b.span = 0
	b.Schedules++
}

// fits tells whether activity i can run during [t, t+d); if not, it returns
// the last time in there at which it cannot.
func (b *serialBuilder) lastClash(i, t int32) int32 {
	d := b.dur[i]
	if b.words == 1 {
		need := b.need[i]
		row := b.free[t : t+d]
		for k := len(row) - 1; k >= 0; k-- {
			if (row[k]-need)&guards != guards {
				return t + int32(k)
			}
		}
		return -1
	}
	for k := t + d - 1; k >= t; k-- {
		for w := range b.words {
			if (b.free[int(k)*b.words+w]-b.need[int(i)*b.words+w])&guards != guards {
				return k
			}
		}
	}
	return -1
}

// firstClash is lastClash from the other end.
func (b *serialBuilder) firstClash(i, t int32) int32 {
	d := b.dur[i]
	for k := t; k < t+d; k++ {
		for w := range b.words {
			if (b.free[int(k)*b.words+w]-b.need[int(i)*b.words+w])&guards != guards {
				return k
			}
		}
	}
	return -1
}

// take books activity i at t.
func (b *serialBuilder) take(i, t int32) {
	d := b.dur[i]
	b.span = max(b.span, t+d)
	if b.words == 1 {
		need := b.need[i]
		row := b.free[t : t+d]
		for k := range row {
			row[k] -= need
		}
		return
	}
	for k := t; k < t+d; k++ {
		for w := range b.words {
			b.free[int(k)*b.words+w] -= b.need[int(i)*b.words+w]
		}
	}
}

// Forward starts the activities as early as possible in the given order, a
// predecessor that comes too late in it being moved ahead, and returns the
// makespan.
func (b *serialBuilder) Forward(order []int32, start []int32) int32 {
	b.clearTable()
	for i := range start {
		start[i] = -1
	}
	end := int32(0)
	for _, top := range order {
		b.stack = append(b.stack[:0], top)
		for len(b.stack) > 0 {
			i := b.stack[len(b.stack)-1]
			if start[i] >= 0 {
				b.stack = b.stack[:len(b.stack)-1]
				continue
			}
			t := b.release[i]
			waits := false
			for _, l := range b.preds[i] {
				if s := start[l.other]; s < 0 {
					b.stack = append(b.stack, l.other)
					waits = true
				} else {
					t = max(t, s+l.gap)
				}
			}
			if waits {
				continue
			}
			b.stack = b.stack[:len(b.stack)-1]
			for {
				k := b.lastClash(i, t)
				if k < 0 {
					break
				}
				t = k + 1
			}
			start[i] = t
			b.take(i, t)
			end = max(end, t+b.dur[i])
		}
	}
	return end
}

// Backward finishes the activities as late as possible, but not after end,
// in the given order, which must have successors first. It returns the
// earliest start, negative if the activities do not fit (then start is
// useless).
func (b *serialBuilder) Backward(order []int32, start []int32, end int32) int32 {
	b.clearTable()
	first := end
	for _, i := range order {
		t := end - b.dur[i]
		for _, l := range b.succs[i] {
			t = min(t, start[l.other]-l.gap)
		}
		for t >= 0 {
			k := b.firstClash(i, t)
			if k < 0 {
				break
			}
			t = k - b.dur[i]
		}
		if t < 0 {
			b.span = max(b.span, end)
			return -1
		}
		start[i] = t
		b.take(i, t)
		first = min(first, t)
	}
	return first
}

// Justify improves a schedule in place by shifting it to the right and back
// to the left (double justification: Valls, Ballestin and Quintanilla,
// "Justification and RCPSP", European Journal of Operational Research 165,
// 2005). The makespan never grows.
func (b *serialBuilder) Justify(start []int32, end int32) int32 {
	order := b.order
	copy(order, b.topo)
	slices.SortFunc(order, func(x, y int32) int {
		if d := (start[y] + b.dur[y]) - (start[x] + b.dur[x]); d != 0 {
			return int(d)
		}
		if d := start[y] - start[x]; d != 0 {
			return int(d)
		}
		return int(b.rank[y] - b.rank[x])
	})
	if b.Backward(order, start, end) < 0 {
		return -1
	}
	b.ByStart(order, start)
	return b.Forward(order, start)
}

// ByStart sorts all activities by start time.
func (b *serialBuilder) ByStart(order, start []int32) {
	copy(order, b.topo)
	slices.SortFunc(order, func(x, y int32) int {
		if d := start[x] - start[y]; d != 0 {
			return int(d)
		}
		return int(b.rank[x] - b.rank[y])
	})
}
