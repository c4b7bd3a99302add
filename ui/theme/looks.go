package theme

// looks gives each role its look. Colours were chosen so that every pair of text
// and background reaches the contrast of 4.5 to 1 that WCAG 2.2, 1.4.3 asks for;
// a test computes it.
func looks(name Name) [roleCount]Look {
	switch name {
	case Light:
		return [roleCount]Look{
			Text:   {Fore: "#1c2321", Back: ""},
			Strong: {Fore: "#000000", Bold: true},
			Faint:  {Fore: "#5a625f"},
			Action: {Fore: "#ffffff", Back: "#14532d", Bold: true},
			Wet:    {Fore: "#0b5a78"},
			Dried:  {Fore: "#6b4c00"},
			Soon:   {Fore: "#8a3b00", Bold: true},
			Urgent: {Fore: "#ffffff", Back: "#9b1c1c", Bold: true},
			Refuse: {Fore: "#9b1c1c", Bold: true},
			Calm:   {Fore: "#1e6a34"},
			Chosen: {Fore: "#000000", Bold: true, Underline: true},
			Bar:    {Fore: "#14532d"},
			Spare:  {Fore: "#5a625f"},
			Surge:  {Fore: "#8a3b00"},
		}
	case Contrast:
		return [roleCount]Look{
			Text:   {Fore: "#ffffff", Back: "#000000"},
			Strong: {Fore: "#ffffff", Back: "#000000", Bold: true},
			Faint:  {Fore: "#d0d0d0", Back: "#000000"},
			Action: {Fore: "#000000", Back: "#ffffff", Bold: true},
			Wet:    {Fore: "#7fe0ff", Back: "#000000"},
			Dried:  {Fore: "#ffe08a", Back: "#000000"},
			Soon:   {Fore: "#ffd000", Back: "#000000", Bold: true},
			Urgent: {Fore: "#000000", Back: "#ffd000", Bold: true},
			Refuse: {Fore: "#ffd000", Back: "#000000", Bold: true},
			Calm:   {Fore: "#ffffff", Back: "#000000"},
			Chosen: {Fore: "#ffffff", Back: "#000000", Bold: true, Underline: true},
			Bar:    {Fore: "#ffffff", Back: "#000000"},
			Spare:  {Fore: "#d0d0d0", Back: "#000000"},
			Surge:  {Fore: "#ffd000", Back: "#000000"},
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
		Text:   {Fore: "#d7ded9"},
		Strong: {Fore: "#ffffff", Bold: true},
		Faint:  {Fore: "#98a39e"},
		Action: {Fore: "#06150b", Back: "#9bd8a4", Bold: true},
		Wet:    {Fore: "#7cc7e8"},
		Dried:  {Fore: "#e0c27a"},
		Soon:   {Fore: "#ffb454", Bold: true},
		Urgent: {Fore: "#ffffff", Back: "#a51d2d", Bold: true},
		Refuse: {Fore: "#ff9d8a", Bold: true},
		Calm:   {Fore: "#9bd8a4"},
		Chosen: {Fore: "#ffffff", Bold: true, Underline: true},
		Bar:    {Fore: "#9bd8a4"},
		Spare:  {Fore: "#98a39e"},
		Surge:  {Fore: "#ffb454"},
	}
}
