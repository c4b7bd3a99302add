package files

import (
	"fmt"
	"shedbell/line/say"
	"slices"
	"strings"
	"unicode/utf8"
)

// longestName fits on a board row beside its countdown.
const longestName = 40

// nearest is the known name that a mistyped one was most likely meant to be, or
// empty where none is close. Names that differ only in case always are.
func nearest(name string, known []string) string {
	best, least := "", min(3, utf8.RuneCountInString(name)/3)+1
	for _, k := range known {
		if strings.EqualFold(k, name) {
			return k
		}
		if e := edits(strings.ToLower(name), strings.ToLower(k)); e < least {
			best, least = k, e
		}
	}
	return best
}

// edits is the least number of letters to add, drop, change or swap with their
// neighbour to turn one name into the other.
func edits(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 2*longestName || len(y) > 2*longestName {
		return 2 * longestName
	}
	before, last := make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := range x {
		row := make([]int, len(y)+1)
		row[0] = i + 1
		for j := range y {
			cost := 1
			if x[i] == y[j] {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last = last, row
	}
	return last[len(y)]
}

// oneOf says how to mend a name that is none of the known ones.
func oneOf(name string, known []string) say.Sentence {
	if best := nearest(name, known); best != "" {
		return say.New("fault.did-you-mean", best)
	}
	const most = 12
	if len(known) == 0 {
		return say.New("fault.there-none")
	}
	var list []string
	for _, k := range known {
		if q := fmt.Sprintf("%q", k); !slices.Contains(list, q) && len(list) <= most {
			list = append(list, q)
		}
	}
	if len(list) > most {
		list[most] = "..."
	}
	return say.New("fault.write-one-of", strings.Join(list, ", "))
}
