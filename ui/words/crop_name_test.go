package words

import (
	"testing"

	"github.com/charmbracelet/x/ansi"
	"pgregory.net/rapid"
)

func TestCropNames(t *testing.T) {
	got := CropNames([]string{"sunflower", "pea", "radish red", "radish", "mustard", "菜豆", "sunhemp"})
	for crop, want := range map[string][2]string{
		"sunflower": {"sunflowr", "Su"}, "pea": {"pea", "Pe"}, "radish red": {"radish", "Ra"}, "radish": {"radish2", "Rd"},
		"mustard": {"mustard", "Mu"}, "菜豆": {"菜豆", "菜"}, "sunhemp": {"sunhemp", "Sn"},
	} {
		if n := got[crop]; n.Short != want[0] || n.Code != want[1] || n.Full != crop {
			t.Errorf("%s: %+v, want %v", crop, n, want)
		}
	}
}

// Names of any script have short forms that fit and that no other crop has.
func TestCropNamesFitAndAreUnique(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		crops := rapid.SliceOfNDistinct(rapid.StringOfN(rapid.RuneFrom([]rune("abcdeée ñ菜豆ｶ12-")), 1, 40, -1), 1, 20, rapid.ID).Draw(rt, "crops")
		shorts, codes := map[string]bool{}, map[string]bool{}
		for _, n := range CropNames(crops) {
			if shorts[n.Short] || codes[n.Code] || n.Code == "" || ansi.StringWidth(n.Short) > 8 || ansi.StringWidth(n.Code) > 2 {
				rt.Fatalf("%+v", n)
			}
			shorts[n.Short], codes[n.Code] = true, true
		}
	})
}
