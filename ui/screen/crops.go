package screen

import (
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Crops says how crops are coloured and called, everywhere alike.
type Crops struct {
	Names map[string]words.CropName
	at    map[string]int
	theme *theme.Theme
}

// NewCrops knows the crops of the recipes and of the day. A crop keeps its colour and its
// names for good, as the book of recipes only grows.
func NewCrops(env *Env) *Crops {
	c := &Crops{Names: map[string]words.CropName{}, at: map[string]int{}, theme: env.Theme}
	all := env.State.Book.Crops()
	for i := range env.State.Batches {
		all = append(all, env.State.Batches[i].Crop)
	}
	called := make([]string, len(all))
	for i, crop := range all {
		if _, ok := c.at[crop]; !ok {
			c.at[crop] = len(c.at)
		}
		called[i] = env.Words.Crop(crop)
	}
	names := words.CropNames(called)
	for i, crop := range all {
		c.Names[crop] = names[called[i]]
	}
	return c
}

// Role is the role of a part of a crop.
func (c *Crops) Role(crop string, part theme.Part) theme.Role { return theme.Crop(c.at[crop], part) }

// Fill is how a whole cell of a crop is drawn: its colour as the ground of a blank, which
// leaves no gaps between rows, or a pattern where there are no colours.
func (c *Crops) Fill(crop string) (theme.Role, string) {
	if c.theme.Colour {
		return c.Role(crop, theme.Fill), " "
	}
	fills := c.theme.Glyphs.Fills
	return theme.Text, fills[c.at[crop]%len(fills)]
}
