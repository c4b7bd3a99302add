// Package lcg is a lazy clause generation kernel: a finite-domain bound
// propagator that explains its steps as clauses and learns from conflicts the
// way a SAT solver does (Ohrimenko, Stuckey and Codish, "Propagation via lazy
// clause generation", Constraints 14, 2009).
//
// A literal is a bound on an integer variable; its truth is read straight off
// the current bounds, so no Boolean is ever created for it. Both bounds of a
// variable are kept as lower bounds, of x and of -x, which makes every rule
// that holds for one hold for the other.
package lcg

// Var is an integer variable. A Boolean is a variable with domain {0, 1}.
type Var int32

// Lit says that a signed variable is at least K. B is 2v for the variable v
// itself and 2v+1 for its negation.
type Lit struct{ B, K int32 }

// Not is true exactly when l is false: not (x >= k) is -x >= 1-k.
func (l Lit) Not() Lit { return Lit{l.B ^ 1, 1 - l.K} }

// AtLeast is v >= k.
func AtLeast(v Var, k int32) Lit { return Lit{int32(v) * 2, k} }

// AtMost is v <= k.
func AtMost(v Var, k int32) Lit { return Lit{int32(v)*2 + 1, -k} }

// IsTrue and IsFalse are the two values of a Boolean variable.
func IsTrue(v Var) Lit  { return AtLeast(v, 1) }
func IsFalse(v Var) Lit { return AtMost(v, 0) }

// Always is true in every engine: it bounds the constant variable 0.
var Always = Lit{0, 0}

// reason says why a bound holds: a tag in the low three bits, an index above.
type reason uint32

const (
	byDecision reason = iota
	byClause          // index of a clause in the arena
	byArc             // index of an arc
	byRecord          // offset of a stored conjunction
	byLinear          // index of a linear constraint
	reasonBits = 3
	reasonMask = 1<<reasonBits - 1
)

func makeReason(tag reason, index int) reason { return tag | reason(index)<<reasonBits }

func (r reason) tag() reason { return r & reasonMask }
func (r reason) index() int  { return int(r >> reasonBits) }
