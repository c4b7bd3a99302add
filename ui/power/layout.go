package powerui

// Shape is what of a shed matters for the arrangement of the screen.
type Shape struct {
	Circuits int
	Legs     int // legs of feeders
	Loads    int
	Caution  int // rows that the caution takes
	Panel    int // rows that the panel needs
}

// Box is a part of the screen, in cells.
type Box struct{ X, Y, W, H int }

// Layout says where each part of the screen is.
type Layout struct {
	Circuits, Loads, Panel, Caution Box
	// Rows is how many rows each circuit takes: its bar, then its heat and last hour
	// in a row, or from four rows on as a chart.
	Rows  int
	Rules []int // rows with a line across
}

// Sizes from which circuits and loads stand side by side.
const (
	besideFromW, besideFromH = 110, 20
	leastLoads               = 3
	leastCircuits            = 2
	pageLoads                = 9  // loads that digits choose among
	mostRows                 = 18 // of one circuit; a taller chart says no more
)

// Arrange lays the screen's body out for a region of w by h cells.
func Arrange(w, h int, s Shape) Layout {
	caution := min(s.Caution, max(0, h-3))
	l := Layout{Caution: Box{0, h - caution, w, caution}}
	rest := h - caution
	poles := max(s.Circuits+s.Legs, 1)
	loads := min(max(s.Loads, 1), pageLoads)
	if w >= besideFromW && h >= besideFromH {
		left := w * 11 / 20
		l.Circuits = Box{0, 0, left, rest - 1}
		l.Rows = min(max((rest-1-s.Legs)/max(s.Circuits, 1), 1), mostRows)
		list := min(loads+1, max(rest-1-max(s.Panel, 4), leastLoads))
		l.Loads = Box{left + 2, 0, w - left - 2, list}
		l.Panel = Box{left + 2, list + 1, w - left - 2, rest - list - 1}
		return l
	}
	rules := 0
	if rest >= 16 {
		rules = 2
	}
	l.Rows = 1
	circuits := min(poles+1, max(rest/3, 1)) // one more for the last hour of the chosen one
	panel := max(s.Panel, 4)
	// A refusal is never cut: it takes its rows from the loads, then from the circuits.
	list := max(rest-rules-circuits-panel, min(leastLoads, loads))
	if list < loads { // the row that sets the panel apart from the caution goes to the loads
		list, panel = list+max(panel-max(s.Panel, 3), 0), max(s.Panel, 3)
	}
	circuits = min(circuits, max(rest-rules-list-panel, leastCircuits))
	if spare := list - loads; spare > 0 {
		list = loads
		if spare >= s.Circuits-1 && circuits == poles+1 {
			l.Rows, circuits = 2, circuits+s.Circuits-1
		}
	}
	l.Circuits = Box{0, 0, w, circuits}
	y := circuits
	if rules > 0 {
		l.Rules = append(l.Rules, y)
		y++
	}
	l.Loads = Box{0, y, w, list}
	y += list
	if rules > 0 {
		l.Rules = append(l.Rules, y)
		y++
	}
	l.Panel = Box{0, y, w, max(rest-y, 0)}
	return l
}
