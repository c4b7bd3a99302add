package screen

import "time"

// Presses turns presses of + and - into time: a step each, and a minute each once
// they come in quick succession.
type Presses struct {
	last   time.Time
	streak int
}

const (
	pressStep  = 15 * time.Second
	pressQuick = time.Minute
	quickGap   = 600 * time.Millisecond
	quickAfter = 4
)

// OnWall is a time on the wall as the line counts it: a demo's clock runs faster
// than the person.
func (e *Env) OnWall(d time.Duration) time.Duration {
	if e.Speed <= 0 {
		return d
	}
	return time.Duration(float64(d) * e.Speed)
}

// MeantFor is how long a second press of a key counts as meaning the first.
const MeantFor = 5 * time.Second

// Step is what one more press is worth; sign is 1 or -1.
func (p *Presses) Step(env *Env, sign int) time.Duration {
	p.streak++
	if env.Now.Sub(p.last) > env.OnWall(quickGap) {
		p.streak = 1
	}
	p.last = env.Now
	if p.streak > quickAfter {
		return time.Duration(sign) * pressQuick
	}
	return time.Duration(sign) * pressStep
}
