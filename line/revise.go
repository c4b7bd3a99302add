package line

import (
	"slices"

	"shedbell/line/say"
	"shedbell/recipes"
)

// Revise makes a new recipe revision. The recipe says who made it (By), why (Why)
// and on which batches it was judged (Batches).
type Revise struct{ Recipe recipes.Recipe }

// GoBack makes a new revision with the settings of an older one.
type GoBack struct {
	Crop     string
	Revision int
	By, Why  string
}

// ImportRecipes takes over what a recipe file says, as new revisions; revisions made
// on the board stay in the history. With Kept it is the file that is read at every
// start: a crop for which that says what it said before keeps its revisions.
type ImportRecipes struct {
	Recipes []recipes.Recipe
	Kept    bool
}

// RecipeRevised is a new recipe revision. Filed says that it came from the file that
// is read at every start.
type RecipeRevised struct {
	Recipe recipes.Recipe
	Filed  bool `json:",omitempty"`
}

func (c Revise) decide(d *draft) *Refusal {
	r := c.Recipe
	book, faults := d.s.Book.Revise(r, r.By, d.now, r.Why, slices.Clone(r.Batches)...)
	return d.revised(r.Crop, book, faults)
}

func (c GoBack) decide(d *draft) *Refusal {
	book, faults := d.s.Book.GoBack(c.Crop, c.Revision, c.By, d.now, c.Why)
	return d.revised(c.Crop, book, faults)
}

// revised records a book's newest revision of a crop, or refuses its faults.
func (d *draft) revised(crop string, book recipes.Book, faults []recipes.Fault) *Refusal {
	if len(faults) > 0 {
		return recipeFaults(faults)
	}
	r, _ := book.Current(crop)
	d.undo = say.New("undo.recipe", say.Crop(r.Crop), r.Revision)
	d.emit(RecipeRevised{Recipe: r})
	return nil
}

func (c ImportRecipes) decide(d *draft) *Refusal {
	var fresh []recipes.Recipe
	for i := range c.Recipes {
		r := &c.Recipes[i]
		if faults := r.Validate(); len(faults) > 0 {
			return recipeFaults(faults)
		}
		if d.s.newInFile(r, c.Recipes[i+1:], c.Kept) {
			fresh = append(fresh, d.signed(*r))
		}
	}
	_, added := d.s.Book.Import(fresh)
	if len(added) == 0 {
		return refuse(RuleNothing, "line.nothing-new")
	}
	for _, r := range added {
		d.emit(RecipeRevised{Recipe: r, Filed: c.Kept})
	}
	return nil
}

// newInFile says whether a recipe of a file is to be taken over: every revision of
// a crop that the book does not have, but of one that it has only the file's last.
// One of the kept file has to differ from what that said before.
func (s *State) newInFile(r *recipes.Recipe, rest []recipes.Recipe, kept bool) bool {
	if _, known := s.Recipe(r.Crop); !known {
		return true
	}
	if slices.ContainsFunc(rest, func(o recipes.Recipe) bool { return o.Crop == r.Crop }) {
		return false
	}
	for i := range s.Filed {
		if kept && s.Filed[i].Crop == r.Crop {
			return len(recipes.Compare(s.Filed[i].WithDefaults(), r.WithDefaults())) > 0
		}
	}
	return true
}

// signed fills in who, when and why where a file leaves them out.
func (d *draft) signed(r recipes.Recipe) recipes.Recipe {
	if r.By == "" {
		r.By = "recipe file"
	}
	if r.At.IsZero() {
		r.At = d.now
	}
	if r.Why == "" {
		r.Why = "taken over from the recipe file"
	}
	return r
}

func (e RecipeRevised) apply(s *State, _ Record) {
	s.Book = s.Book.With(e.Recipe)
	if e.Filed {
		s.filed(e.Recipe)
	}
}

func (s *State) filed(r recipes.Recipe) {
	s.Filed = slices.DeleteFunc(slices.Clone(s.Filed), func(o recipes.Recipe) bool { return o.Crop == r.Crop })
	s.Filed = append(s.Filed, r)
}
