package live

import "time"

// Readings are the computer's clocks at one instant.
type Readings struct {
	Wall   time.Time
	Awake  time.Duration // runs steadily while the computer is awake
	Always time.Duration // runs steadily, also while it sleeps
}

// jumpLimit is by how much clocks may differ before it is said. Reading them one
// after the other on a busy machine takes far less.
const jumpLimit = 2 * time.Second

// checkEvery is how often the clocks are compared. It bounds how long before a
// sleep nobody may have watched.
const checkEvery = time.Second

// since says what happened between two readings: how long the computer slept, and
// how far its wall clock was put on beside that.
func (r Readings) since(old Readings) (slept, jump time.Duration) {
	always := r.Always - old.Always
	slept = always - (r.Awake - old.Awake)
	jump = r.Wall.Round(0).Sub(old.Wall.Round(0)) - always
	if slept <= jumpLimit {
		slept = 0
	}
	if jump.Abs() <= jumpLimit {
		jump = 0
	}
	return slept, jump
}
