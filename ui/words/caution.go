package words

// Danger is something that can hurt the person at a step.
type Danger uint8

// Dangers of the clean-up and of the line.
const (
	DangerNone     Danger = iota
	DangerJet             // pressure washer
	DangerElectric        // machines and sockets where it is wet
	DangerPeroxide        // peroxide and peroxyacetic acid
	DangerChlorine        // hypochlorite
	DangerWetFloor
	DangerDrum // spinner
)

// cautions are the usual ones. They send the reader to the label, the local code
// and people with a licence, because the program knows none of the three.
var cautions = map[Danger]struct{ short, full string }{
	DangerJet: {"Jet: never at people, cords or sockets. Goggles, boots.",
		"The jet cuts skin and drives water under it: never point it at a person, not even at your own boot. " +
			"Goggles and boots on, nobody else in the spray. Hold the lance with both hands, keep it off cords, sockets and machines. " +
			"Before you put it down: off, unplugged, then squeeze the trigger until the pressure is gone. A jet wound, even a small one, goes to a doctor at once."},
	DangerElectric: {"Water and electricity: plugs up and dry, machines unplugged before they get wet.",
		"Water and electricity kill. Unplug machines before you hose or wipe them, keep plugs and connections off the floor and dry, touch none of them with wet hands. " +
			"Only outlets with a GFCI (RCD), tested with its own button. If it trips, something leaks: do not reset it again and again, find out what. " +
			"Wiring is for a licensed electrician and the local code."},
	DangerPeroxide: {"Peroxide burns skin and eyes: gloves, goggles, fresh air. Mix with nothing else.",
		"Peroxide and peroxyacetic acid burn skin and eyes and their vapour hurts the lungs: gloves, goggles, open doors. " +
			"Stock goes into the water, never water into the stock. Never together with chlorine, vinegar or any other cleaner. " +
			"In the eyes or on the skin: rinse with running water for 15 minutes and call for help. The label and the safety data sheet decide."},
	DangerChlorine: {"Chlorine: never with acid, peroxide or ammonia. Gloves, goggles, fresh air.",
		"Chlorine makes a poisonous gas with acid, and must not meet peroxide, ammonia or any other cleaner: rinse well between two products. " +
			"Gloves, goggles, open doors; stock goes into the water. In the eyes: rinse for 15 minutes and call for help. The label and the safety data sheet decide."},
	DangerWetFloor: {"Wet floor: boots with grip, hoses out of the way.",
		"Wet floors throw people down: boots with grip, hoses and cords out of the way, wipe puddles where people walk, and say so to whoever comes in."},
	DangerDrum: {"Drum: wait until it stands still. Nothing loose near it.",
		"A spinning drum does not stop when it is switched off: wait until it stands still before you reach in. Lid shut while it turns, no loose sleeves, strings or hair near it."},
}

// Caution is what to mind about a danger, in full or in one line.
func Caution(d Danger, full bool) string {
	c := cautions[d]
	if full {
		return c.full
	}
	return c.short
}

// Dangers lists them, for whoever has to have each acknowledged.
func Dangers() []Danger {
	return []Danger{DangerJet, DangerElectric, DangerPeroxide, DangerChlorine, DangerWetFloor, DangerDrum}
}
