package screen

import "time"

// Presses turns presses of + and - into time: a step each, and a minute each once
// they come in quick succession.
type Presses struct {
	last   time.Time
	streak int
}

const (
	PressStep  = 15 * time.Second
	pressQuick = time.Minute
	quickGap   = 600 * time.Millisecond
	quickAfter = 4
)

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
	return time.Duration(sign) * PressStep
}
