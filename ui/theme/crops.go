package theme

import (
	"github.com/charmbracelet/lipgloss"
	"github.com/lucasb-eyer/go-colorful"
	"github.com/muesli/termenv"
)

// Crops is how many crops can be told apart by colour.
const Crops = 8

// Part is what of a crop is drawn in its colour.
type Part uint8

// The parts.
const (
	Word       Part = iota // its name
	Grain                  // what is thinner than a cell of a bar
	Fill                   // a bar, with words in it
	Tint                   // words in a vessel that fills
	TintStrong             // words that matter there
	TintWord               // its name there
	partCount
)

// Crop is the role of a part of a crop, counted from 0. Crops beyond the eighth share
// the colours, in turn.
func Crop(n int, part Part) Role {
	return plainCount + Role(((n%Crops)+Crops)%Crops)*Role(partCount) + Role(part)
}

// cropColour is a crop's colour in each theme: as text, moved towards white or black
// until its contrast to the ground is 4.5, and as a bar, mixed with 22 % of the ground
// and moved until it is 3.
type cropColour struct {
	pure                string
	darkWord, darkBar   string
	lightWord, lightBar string
	of256               [4]string // the same four of 256
	of16                string    // bars alone
}

// palette is the one of Okabe and Ito, Color Universal Design (2008), as public plotting
// libraries ship it; black, which is text, is replaced by grey. The order keeps
// the hues of alarms for last, and grey, which is near to purple and green for many
// eyes, for late.
var palette = [Crops]cropColour{
	{"#cc79a7", "#cc79a7", "#a26386", "#9f5e82", "#b7809e", [4]string{"175", "132", "96", "133"}, "5"},   // reddish purple
	{"#009e73", "#009e73", "#037f5d", "#00825e", "#31a082", [4]string{"35", "29", "23", "66"}, "2"},      // bluish green
	{"#f0e442", "#f0e442", "#beb637", "#7a7422", "#989342", [4]string{"221", "143", "94", "101"}, "3"},   // yellow
	{"#56b4e9", "#56b4e9", "#4691b9", "#3a799c", "#5d96b6", [4]string{"74", "67", "61", "67"}, "6"},      // sky blue
	{"#0072b2", "#2184bc", "#126796", "#0072b2", "#3690c1", [4]string{"31", "30", "25", "68"}, "4"},      // blue
	{"#999999", "#999999", "#7a7c7b", "#717171", "#909090", [4]string{"246", "243", "242", "245"}, "7"},  // grey
	{"#e69f00", "#e69f00", "#b68004", "#986900", "#b28829", [4]string{"178", "136", "58", "136"}, "10"},  // orange
	{"#d55e00", "#d55e00", "#a94e04", "#bb5300", "#d17a33", [4]string{"166", "130", "124", "167"}, "13"}, // vermilion
}

// tinted is the share of a crop's colour in the ground of a vessel that fills. Only
// terminals with fine colours have tints.
const tinted = 0.2

// addCrops fills in the roles of crops.
func (s *Styles) addCrops(onLight bool, p termenv.Profile) {
	ground, text, strong := s[Text].GetBackground(), s[Text], s[Strong]
	for n, c := range palette {
		word, bar := c.darkWord, c.darkBar
		if onLight {
			word, bar = c.lightWord, c.lightBar
		}
		switch p {
		case termenv.ANSI256:
			word, bar = c.of256[0], c.of256[1]
			if onLight {
				word, bar = c.of256[2], c.of256[3]
			}
		case termenv.ANSI:
			word, bar = string(text.GetForeground().(lipgloss.Color)), c.of16
		}
		s[Crop(n, Word)] = text.Foreground(lipgloss.Color(word))
		s[Crop(n, Grain)] = text.Foreground(lipgloss.Color(bar))
		s[Crop(n, Fill)] = ink(inkOn(p.Color(bar)), bar).Bold(p != termenv.ANSI)
		s[Crop(n, Tint)], s[Crop(n, TintStrong)], s[Crop(n, TintWord)] = text, strong, s[Crop(n, Word)]
		if p == termenv.TrueColor {
			under, _ := colorful.Hex(string(ground.(lipgloss.Color)))
			over, _ := colorful.Hex(c.pure)
			tint := lipgloss.Color(under.BlendRgb(over, tinted).Hex())
			s[Crop(n, Tint)], s[Crop(n, TintStrong)] = text.Background(tint), strong.Background(tint)
			name, _ := colorful.Hex(word)
			s[Crop(n, TintWord)] = text.Background(tint).Foreground(lipgloss.Color(moved(name, under.BlendRgb(over, tinted)).Hex()))
		}
	}
}

// inkOn is black or white, whichever has the better contrast: they are equal where the
// relative luminance of WCAG 2.1 is 0.179.
func inkOn(back termenv.Color) string {
	if brightness(termenv.ConvertToRGB(back)) > 0.179 {
		if _, few := back.(termenv.ANSIColor); few {
			return "0"
		}
		return "#000000"
	}
	if _, few := back.(termenv.ANSIColor); few {
		return "15"
	}
	return "#ffffff"
}

// moved is a colour moved towards white or black until it can be read on a ground.
func moved(c, ground colorful.Color) colorful.Color {
	end := colorful.Color{R: 1, G: 1, B: 1}
	at := brightness(ground)
	if at > 0.179 {
		end = colorful.Color{}
	}
	for share := 0.0; share < 1; share += 0.05 {
		if m := c.BlendRgb(end, share).Clamped(); (max(at, brightness(m))+0.05)/(min(at, brightness(m))+0.05) >= 4.6 {
			return m
		}
	}
	return end
}

// brightness is the relative luminance of WCAG 2.1.
func brightness(c colorful.Color) float64 { _, y, _ := c.Xyz(); return y }
