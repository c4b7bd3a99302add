package plan

import "fmt"

var roleNames = [...]string{"carry", "work", "take", "drain", "refill"}

// opName is the name of a piece of work by hand for messages about a model.
func (m *Model) opName(o int) string {
	op := &m.ops[o]
	st := &m.jobs[op.job].stages[op.stage]
	return fmt.Sprintf("%s %s %s", m.jobs[op.job].name, st.kind, roleNames[op.role])
}
