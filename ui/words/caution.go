package words

import "shedbell/line/chemical"

// Danger is something that can hurt the person at a step.
type Danger uint8

// Dangers of the clean-up and of the line.
const (
	DangerNone      Danger = iota
	DangerJet              // pressure washer
	DangerElectric         // machines and sockets where it is wet
	DangerPeroxide         // peroxide and peroxyacetic acid
	DangerChlorine         // hypochlorite
	DangerSanitizer        // any other one, of which nothing more is known
	DangerWetFloor
	DangerDrum // spinner
)

// dangerKeys name the texts of the dangers. They send the reader to the label, the
// local code and people with a licence, because the program knows none of the three.
var dangerKeys = map[Danger]string{DangerJet: "jet", DangerElectric: "electric", DangerPeroxide: "peroxide",
	DangerChlorine: "chlorine", DangerSanitizer: "sanitizer", DangerWetFloor: "wet-floor", DangerDrum: "drum"}

// DangerOf is the danger of a sanitizer.
func DangerOf(id chemical.ID) Danger {
	switch {
	case id.Chlorine():
		return DangerChlorine
	case id == chemical.Peroxide || id == chemical.Peracid:
		return DangerPeroxide
	}
	return DangerSanitizer
}

// Caution is what to mind about a danger, in full or in one line.
func (t *Speaker) Caution(d Danger, full bool) string {
	if full {
		return t.Say("caution-full." + dangerKeys[d])
	}
	return t.Say("caution." + dangerKeys[d])
}
