package theme

import (
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// The backgrounds of the themes with colours. Each theme brings its own, since the
// contrast to a background that is not known is not known either.
const (
	paper = "#f7f9f5"
	slate = "#0e1311"
	black = "#000000"
)

// Styles is how every role looks, that is a whole theme.
type Styles [roleCount]lipgloss.Style

// ink is text of a colour on a ground. Colours are written "#rrggbb", or as a number.
func ink(fore, back string) lipgloss.Style {
	return lipgloss.NewStyle().Foreground(lipgloss.Color(fore)).Background(lipgloss.Color(back))
}

func bold(fore, back string) lipgloss.Style { return ink(fore, back).Bold(true) }

// styles gives the looks of a theme on a terminal with so many colours. Text and its
// background reach the contrast of 4.5 to 1 that WCAG 2.1, 1.4.3 asks for, outlines and
// bars the 3 to 1 of its 1.4.11; a test computes them.
func styles(name Name, p termenv.Profile) Styles {
	var s Styles
	switch {
	case name == Mono:
		s = mono
	case p == termenv.ANSI:
		s = sixteen(name)
	case name == Light:
		s = light
	case name == Contrast:
		s = contrasting
	default:
		if s = dark; p == termenv.ANSI256 { // the nearest to these two are too light
			s[Urgent], s[Segment] = bold("15", "160"), bold("16", "65")
		}
	}
	if name != Mono {
		s.addCrops(name == Light, p)
	} else {
		for n := range Crops {
			s[Crop(n, Word)], s[Crop(n, Grain)], s[Crop(n, Fill)], s[Crop(n, Tint)] = s[Text], s[Text], s[Text], s[Text]
			s[Crop(n, TintStrong)], s[Crop(n, TintWord)] = s[Strong], s[Text]
		}
	}
	return s
}

var dark = Styles{
	Text:    ink("#d7ded9", slate),
	Strong:  bold("#ffffff", slate),
	Faint:   ink("#98a39e", slate),
	Action:  bold("#06150b", "#9bd8a4"),
	Wet:     ink("#7cc7e8", slate),
	Dried:   ink("#e0c27a", slate),
	Soon:    bold("#ffb454", slate),
	Urgent:  bold("#ffffff", "#d43d4c"),
	Refuse:  bold("#ff9d8a", slate),
	Calm:    ink("#9bd8a4", slate),
	Chosen:  bold("#ffffff", slate).Underline(true),
	Bar:     ink("#9bd8a4", slate),
	Spare:   ink("#98a39e", slate),
	Surge:   ink("#ffb454", slate),
	Edge:    ink("#6b7772", slate),
	Rule:    ink("#3a423f", slate),
	Alarm:   ink("#d43d4c", slate),
	Alert:   bold("#ffffff", "#8f5e00"),
	Segment: bold("#ffffff", "#44735a"),
	Badge:   bold("#d7ded9", "#2a312e"),
}

var light = Styles{
	Text:    ink("#1c2321", paper),
	Strong:  bold("#000000", paper),
	Faint:   ink("#5a625f", paper),
	Action:  bold("#ffffff", "#14532d"),
	Wet:     ink("#0b5a78", paper),
	Dried:   ink("#6b4c00", paper),
	Soon:    bold("#8a3b00", paper),
	Urgent:  bold("#ffffff", "#9b1c1c"),
	Refuse:  bold("#9b1c1c", paper),
	Calm:    ink("#1e6a34", paper),
	Chosen:  bold("#000000", paper).Underline(true),
	Bar:     ink("#14532d", paper),
	Spare:   ink("#5a625f", paper),
	Surge:   ink("#8a3b00", paper),
	Edge:    ink("#7f8784", paper),
	Rule:    ink("#c6ccc9", paper),
	Alarm:   ink("#9b1c1c", paper),
	Alert:   bold("#ffffff", "#8a3b00"),
	Segment: bold("#000000", "#729380"),
	Badge:   bold("#1c2321", "#dfe5e1"),
}

var contrasting = Styles{
	Text:    ink("#ffffff", black),
	Strong:  bold("#ffffff", black),
	Faint:   ink("#d0d0d0", black),
	Action:  bold("#000000", "#ffffff"),
	Wet:     ink("#7fe0ff", black),
	Dried:   ink("#ffe08a", black),
	Soon:    bold("#ffd000", black),
	Urgent:  bold("#000000", "#ffd000"),
	Refuse:  bold("#ffd000", black),
	Calm:    ink("#ffffff", black),
	Chosen:  bold("#ffffff", black).Underline(true),
	Bar:     ink("#ffffff", black),
	Spare:   ink("#d0d0d0", black),
	Surge:   ink("#ffd000", black),
	Edge:    ink("#ffffff", black),
	Rule:    ink("#a0a0a0", black),
	Alarm:   ink("#ffd000", black),
	Alert:   bold("#ffd000", "#3a3000"),
	Segment: bold("#000000", "#d0d0d0"),
	Badge:   bold("#ffffff", "#303030"),
}

// mono leaves the colours to the terminal.
var mono = Styles{
	Strong:  lipgloss.NewStyle().Bold(true),
	Action:  lipgloss.NewStyle().Bold(true).Reverse(true),
	Soon:    lipgloss.NewStyle().Bold(true),
	Urgent:  lipgloss.NewStyle().Bold(true).Reverse(true),
	Refuse:  lipgloss.NewStyle().Bold(true),
	Chosen:  lipgloss.NewStyle().Bold(true).Underline(true),
	Alarm:   lipgloss.NewStyle().Bold(true),
	Alert:   lipgloss.NewStyle().Bold(true).Reverse(true),
	Segment: lipgloss.NewStyle().Reverse(true),
	Badge:   lipgloss.NewStyle().Bold(true),
}

// sixteen gives each role its look on a terminal with 16 colours, which are numbered in
// the order of ECMA-48 with the bright ones from 8 on. The nearest of 16 to a fine
// colour may be too near to the background as well. Dark text is not bold here, for
// some terminals draw bold text in the bright colour.
func sixteen(name Name) Styles {
	switch name {
	case Light:
		return Styles{
			Text: ink("0", "15"), Strong: ink("0", "15"), Faint: ink("0", "15"), Action: bold("15", "2"), Wet: ink("4", "15"),
			Dried: ink("5", "15"), Soon: ink("1", "15"), Urgent: bold("15", "1"), Refuse: ink("1", "15"), Calm: ink("2", "15"),
			Chosen: ink("0", "15").Underline(true), Bar: ink("2", "15"), Spare: ink("0", "15"), Surge: ink("5", "15"),
			Edge: ink("0", "15"), Rule: ink("7", "15"), Alarm: ink("1", "15"), Alert: ink("0", "11"), Segment: bold("15", "2"), Badge: ink("15", "0"),
		}
	case Contrast:
		return Styles{
			Text: ink("15", "0"), Strong: bold("15", "0"), Faint: ink("7", "0"), Action: ink("0", "15"), Wet: ink("14", "0"),
			Dried: ink("11", "0"), Soon: bold("11", "0"), Urgent: ink("0", "11"), Refuse: bold("11", "0"), Calm: ink("15", "0"),
			Chosen: bold("15", "0").Underline(true), Bar: ink("15", "0"), Spare: ink("7", "0"), Surge: ink("11", "0"),
			Edge: ink("15", "0"), Rule: ink("7", "0"), Alarm: ink("11", "0"), Alert: ink("0", "3"), Segment: ink("0", "7"), Badge: ink("0", "7"),
		}
	}
	return Styles{
		Text: ink("7", "0"), Strong: bold("15", "0"), Faint: ink("7", "0"), Action: ink("0", "10"), Wet: ink("14", "0"),
		Dried: ink("11", "0"), Soon: bold("11", "0"), Urgent: bold("15", "1"), Refuse: bold("9", "0"), Calm: ink("10", "0"),
		Chosen: bold("15", "0").Underline(true), Bar: ink("10", "0"), Spare: ink("7", "0"), Surge: ink("11", "0"),
		Edge: ink("7", "0"), Rule: ink("8", "0"), Alarm: ink("9", "0"), Alert: ink("0", "3"), Segment: bold("15", "2"), Badge: ink("0", "7"),
	}
}
