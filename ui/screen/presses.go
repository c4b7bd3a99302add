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

// Step is what one more press at an instant is worth; sign is 1 or -1.
func (p *Presses) Step(now time.Time, sign int) time.Duration {
	p.streak++
	if now.Sub(p.last) > quickGap {
		p.streak = 1
	}
	p.last = now
	if p.streak > quickAfter {
		return time.Duration(sign) * pressQuick
	}
	return time.Duration(sign) * pressStep
}
