// Package enum writes the values of an enumeration by their names, which is how
// records keep them: a number would take another meaning when a value is added
// before it. It reads numbers, too, as records from before had them.
package enum

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
)

// Text is the name of a value. One that has no name is written as its number.
func Text[T ~uint8](v T, names []string) ([]byte, error) {
	if int(v) < len(names) {
		return []byte(names[v]), nil
	}
	return strconv.AppendUint(nil, uint64(v), 10), nil
}

// Read takes a value from JSON: a name, or a number with or without quotes.
func Read[T ~uint8](v *T, data []byte, names []string) error {
	var word string
	if err := json.Unmarshal(data, &word); err == nil && string(data) != "null" {
		if i := slices.Index(names, word); i >= 0 {
			*v = T(i)
			return nil
		}
		data = []byte(word)
	}
	n := uint8(*v) // null leaves it as it is
	if err := json.Unmarshal(data, &n); err != nil {
		return fmt.Errorf("%.40q is none of %q", data, names)
	}
	*v = T(n)
	return nil
}
