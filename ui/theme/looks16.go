package theme

// looks16 gives each role its look on a terminal with 16 colours, which are numbered
// in the order of ECMA-48 with the bright ones from 8 on. The nearest of 16 to a fine
// colour may be too near to the background as well. Dark text is not bold here, for
// some terminals draw bold text in the bright colour.
func looks16(name Name) [roleCount]Look {
	switch name {
	case Light:
		return [roleCount]Look{
			Text:   {Fore: "0", Back: "15"},
			Strong: {Fore: "0", Back: "15"},
			Faint:  {Fore: "0", Back: "15"},
			Action: {Fore: "15", Back: "2", Bold: true},
			Wet:    {Fore: "4", Back: "15"},
			Dried:  {Fore: "5", Back: "15"},
			Soon:   {Fore: "1", Back: "15"},
			Urgent: {Fore: "15", Back: "1", Bold: true},
			Refuse: {Fore: "1", Back: "15"},
			Calm:   {Fore: "2", Back: "15"},
			Chosen: {Fore: "0", Back: "15", Underline: true},
			Bar:    {Fore: "2", Back: "15"},
			Spare:  {Fore: "0", Back: "15"},
			Surge:  {Fore: "5", Back: "15"},
		}
	case Contrast:
		return [roleCount]Look{
			Text:   {Fore: "15", Back: "0"},
			Strong: {Fore: "15", Back: "0", Bold: true},
			Faint:  {Fore: "7", Back: "0"},
			Action: {Fore: "0", Back: "15"},
			Wet:    {Fore: "14", Back: "0"},
			Dried:  {Fore: "11", Back: "0"},
			Soon:   {Fore: "11", Back: "0", Bold: true},
			Urgent: {Fore: "0", Back: "11"},
			Refuse: {Fore: "11", Back: "0", Bold: true},
			Calm:   {Fore: "15", Back: "0"},
			Chosen: {Fore: "15", Back: "0", Bold: true, Underline: true},
			Bar:    {Fore: "15", Back: "0"},
			Spare:  {Fore: "7", Back: "0"},
			Surge:  {Fore: "11", Back: "0"},
		}
	case Mono:
		return looks(Mono)
	}
	return [roleCount]Look{
		Text:   {Fore: "7", Back: "0"},
		Strong: {Fore: "15", Back: "0", Bold: true},
		Faint:  {Fore: "7", Back: "0"},
		Action: {Fore: "0", Back: "10"},
		Wet:    {Fore: "14", Back: "0"},
		Dried:  {Fore: "11", Back: "0"},
		Soon:   {Fore: "11", Back: "0", Bold: true},
		Urgent: {Fore: "15", Back: "1", Bold: true},
		Refuse: {Fore: "9", Back: "0", Bold: true},
		Calm:   {Fore: "10", Back: "0"},
		Chosen: {Fore: "15", Back: "0", Bold: true, Underline: true},
		Bar:    {Fore: "10", Back: "0"},
		Spare:  {Fore: "7", Back: "0"},
		Surge:  {Fore: "11", Back: "0"},
	}
}
