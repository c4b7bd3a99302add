package theme

// The backgrounds of the themes with colours. Each theme brings its own, since the
// contrast to a background that is not known is not known either.
const (
	paper = "#f7f9f5"
	slate = "#0e1311"
	black = "#000000"
)

// looks gives each role its look. Colours were chosen so that every pair of text
// and background reaches the contrast of 4.5 to 1 that WCAG 2.1, 1.4.3 asks for;
// a test computes it.
func looks(name Name) [roleCount]Look {
	switch name {
	case Light:
		return [roleCount]Look{
			Text:   {Fore: "#1c2321", Back: paper},
			Strong: {Fore: "#000000", Back: paper, Bold: true},
			Faint:  {Fore: "#5a625f", Back: paper},
			Action: {Fore: "#ffffff", Back: "#14532d", Bold: true},
			Wet:    {Fore: "#0b5a78", Back: paper},
			Dried:  {Fore: "#6b4c00", Back: paper},
			Soon:   {Fore: "#8a3b00", Back: paper, Bold: true},
			Urgent: {Fore: "#ffffff", Back: "#9b1c1c", Bold: true},
			Refuse: {Fore: "#9b1c1c", Back: paper, Bold: true},
			Calm:   {Fore: "#1e6a34", Back: paper},
			Chosen: {Fore: "#000000", Back: paper, Bold: true, Underline: true},
			Bar:    {Fore: "#14532d", Back: paper},
			Spare:  {Fore: "#5a625f", Back: paper},
			Surge:  {Fore: "#8a3b00", Back: paper},
		}
	case Contrast:
		return [roleCount]Look{
			Text:   {Fore: "#ffffff", Back: black},
			Strong: {Fore: "#ffffff", Back: black, Bold: true},
			Faint:  {Fore: "#d0d0d0", Back: black},
			Action: {Fore: "#000000", Back: "#ffffff", Bold: true},
			Wet:    {Fore: "#7fe0ff", Back: black},
			Dried:  {Fore: "#ffe08a", Back: black},
			Soon:   {Fore: "#ffd000", Back: black, Bold: true},
			Urgent: {Fore: "#000000", Back: "#ffd000", Bold: true},
			Refuse: {Fore: "#ffd000", Back: black, Bold: true},
			Calm:   {Fore: "#ffffff", Back: black},
			Chosen: {Fore: "#ffffff", Back: black, Bold: true, Underline: true},
			Bar:    {Fore: "#ffffff", Back: black},
			Spare:  {Fore: "#d0d0d0", Back: black},
			Surge:  {Fore: "#ffd000", Back: black},
		}
	case Mono:
		return [roleCount]Look{
			Strong: {Bold: true},
			Action: {Bold: true, Reverse: true},
			Soon:   {Bold: true},
			Urgent: {Bold: true, Reverse: true},
			Refuse: {Bold: true},
			Chosen: {Bold: true, Underline: true},
		}
	}
	return [roleCount]Look{
		Text:   {Fore: "#d7ded9", Back: slate},
		Strong: {Fore: "#ffffff", Back: slate, Bold: true},
		Faint:  {Fore: "#98a39e", Back: slate},
		Action: {Fore: "#06150b", Back: "#9bd8a4", Bold: true},
		Wet:    {Fore: "#7cc7e8", Back: slate},
		Dried:  {Fore: "#e0c27a", Back: slate},
		Soon:   {Fore: "#ffb454", Back: slate, Bold: true},
		Urgent: {Fore: "#ffffff", Back: "#a51d2d", Bold: true},
		Refuse: {Fore: "#ff9d8a", Back: slate, Bold: true},
		Calm:   {Fore: "#9bd8a4", Back: slate},
		Chosen: {Fore: "#ffffff", Back: slate, Bold: true, Underline: true},
		Bar:    {Fore: "#9bd8a4", Back: slate},
		Spare:  {Fore: "#98a39e", Back: slate},
		Surge:  {Fore: "#ffb454", Back: slate},
	}
}
