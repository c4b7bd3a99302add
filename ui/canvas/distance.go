package canvas

// Legible text subtends at least 16 minutes of arc, and 20 are preferred
// (NUREG-0700 revision 2, 1.3.1-4).
const (
	MinArc       = 16.0
	PreferredArc = 20.0
)

// HeightMM is how high text has to be, in millimetres, to be read at a distance in
// metres. The formula is NUREG-0700's: h = 6.283 D MA / 21600, in the unit of D.
func HeightMM(distanceM, minutesOfArc float64) float64 {
	return 6.283 * distanceM * 1000 * minutesOfArc / 21600
}

// ServesM is the distance in metres from which text of a height in millimetres can
// be read: the inverse of HeightMM.
func ServesM(heightMM, minutesOfArc float64) float64 {
	return heightMM * 21600 / (6.283 * minutesOfArc) / 1000
}

// Monitor is a screen that a terminal fills.
type Monitor struct {
	HeightMM float64 // height of the picture
	Rows     int     // rows of the terminal on it
}

// RowsMM is the height of text that takes a number of rows.
func (m Monitor) RowsMM(rows int) float64 { return m.HeightMM * float64(rows) / float64(m.Rows) }
