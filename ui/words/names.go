package words

import (
	"strings"

	"shedbell/line"
	"shedbell/line/say"
)

// What stands on the line, as people read it: what came with the program by its name in
// their language, what they have named themselves as it is.

// Batch is a batch: radish 2.
func (t *Speaker) Batch(b *line.Batch) string { return t.Value(b.Label()) }

// Caps is a batch where it has to be found at a glance: RADISH 2.
func (t *Speaker) Caps(b *line.Batch) string { return strings.ToUpper(t.Batch(b)) }

// Place is a slot: rack b.
func (t *Speaker) Place(s *line.State, p line.Place) string {
	return t.Value(say.Station(s.PlaceName(p)))
}

// Crop, Station, Load and Circuit are names of the recipes and the line file.
func (t *Speaker) Crop(name string) string    { return t.Value(say.Crop(name)) }
func (t *Speaker) Station(name string) string { return t.Value(say.Station(name)) }
func (t *Speaker) Load(name string) string    { return t.Value(say.Load(name)) }
func (t *Speaker) Circuit(name string) string { return t.Value(say.Circuit(name)) }
