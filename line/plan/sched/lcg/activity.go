package lcg

// node is a literal that conflicts have been about, with its activity. A
// literal and its negation share one, named by the even signed variable.
type node struct {
	lit  Lit
	act  float64
	heap int32 // place in the heap, -1 when out
}

// activity ranks literals by how often recent conflicts involved them (VSIDS).
type activity struct {
	nodes  []node
	heap   []int32
	index  map[Lit]int32
	inc    float64
	popped []poppedNode
}

type poppedNode struct{ node, level int32 }

func (a *activity) init() {
	a.index = make(map[Lit]int32)
	a.inc = 1
}

func canonical(l Lit) Lit {
	if l.B&1 == 1 {
		return l.Not()
	}
	return l
}

// bumpKnown raises a literal's activity if it has been learned about before.
func (a *activity) bumpKnown(l Lit) {
	if n, ok := a.index[canonical(l)]; ok {
		a.bumpNode(n)
	}
}

// bump raises a literal's activity, making it known.
func (a *activity) bump(l Lit) {
	l = canonical(l)
	n, ok := a.index[l]
	if !ok {
		n = int32(len(a.nodes))
		a.nodes = append(a.nodes, node{lit: l, heap: -1})
		a.index[l] = n
		a.push(n)
	}
	a.bumpNode(n)
}

func (a *activity) bumpNode(n int32) {
	a.nodes[n].act += a.inc
	if a.nodes[n].act > 1e100 {
		for i := range a.nodes {
			a.nodes[i].act *= 1e-100
		}
		a.inc *= 1e-100
	}
	if h := a.nodes[n].heap; h >= 0 {
		a.up(h)
	}
}

func (a *activity) decay() { a.inc /= 0.95 }

// next pops the most active literal that is still open at the given level.
func (a *activity) next(e *Engine) (Lit, bool) {
	for len(a.heap) > 0 {
		n := a.heap[0]
		l := a.nodes[n].lit
		if !e.Holds(l) && !e.Fails(l) {
			return l, true
		}
		a.pop()
		a.popped = append(a.popped, poppedNode{n, e.level()})
	}
	return Lit{}, false
}

// restore puts back what was popped above a level.
func (a *activity) restore(to int32) {
	for n := len(a.popped) - 1; n >= 0 && a.popped[n].level > to; n-- {
		if p := a.popped[n].node; a.nodes[p].heap < 0 {
			a.push(p)
		}
		a.popped = a.popped[:n]
	}
}

// prune drops literals that the root bounds decide or that have faded.
func (a *activity) prune(e *Engine, limit int) {
	a.restore(-1)
	floor := 0.0
	if len(a.nodes) > limit {
		floor = a.inc * 1e-12
	}
	kept := a.nodes[:0]
	clear(a.index)
	for _, n := range a.nodes {
		if e.Holds(n.lit) || e.Fails(n.lit) || n.act < floor {
			continue
		}
		a.index[n.lit] = int32(len(kept))
		n.heap = -1
		kept = append(kept, n)
	}
	a.nodes = kept
	a.heap = a.heap[:0]
	for i := range a.nodes {
		a.push(int32(i))
	}
}

func (a *activity) push(n int32) {
	a.heap = append(a.heap, n)
	a.nodes[n].heap = int32(len(a.heap) - 1)
	a.up(a.nodes[n].heap)
}

func (a *activity) pop() {
	top := a.heap[0]
	end := len(a.heap) - 1
	a.heap[0] = a.heap[end]
	a.nodes[a.heap[0]].heap = 0
	a.heap = a.heap[:end]
	a.nodes[top].heap = -1
	if end > 0 {
		a.down(0)
	}
}

func (a *activity) up(h int32) {
	n := a.heap[h]
	act := a.nodes[n].act
	for h > 0 {
		p := (h - 1) / 2
		if a.nodes[a.heap[p]].act >= act {
			break
		}
		a.heap[h] = a.heap[p]
		a.nodes[a.heap[h]].heap = h
		h = p
	}
	a.heap[h] = n
	a.nodes[n].heap = h
}

func (a *activity) down(h int32) {
	n := a.heap[h]
	act := a.nodes[n].act
	size := int32(len(a.heap))
	for {
		c := 2*h + 1
		if c >= size {
			break
		}
		if c+1 < size && a.nodes[a.heap[c+1]].act > a.nodes[a.heap[c]].act {
			c++
		}
		if a.nodes[a.heap[c]].act <= act {
			break
		}
		a.heap[h] = a.heap[c]
		a.nodes[a.heap[h]].heap = h
		h = c
	}
	a.heap[h] = n
	a.nodes[n].heap = h
}
