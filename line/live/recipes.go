package live

import (
	"strings"

	"shedbell/line"
	"shedbell/recipes"
)

// TakeRecipes takes over what the recipe file says that it did not say before, each
// as a new revision; revisions made on the board stay in the history. The notice
// names them, and is empty where nothing is new.
func (l *Line) TakeRecipes(file []recipes.Recipe) (notice string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	c := line.ImportRecipes{Recipes: file, Kept: true}
	if _, no := line.Decide(l.state, c, l.clock.Now()); no != nil {
		if no.Rule == line.RuleNothing {
			return ""
		}
		return no.Error()
	}
	_, records, _ := l.do(c, l.by)
	var crops []string
	for _, r := range records {
		if e, ok := r.Event.(line.RecipeRevised); ok {
			crops = append(crops, e.Recipe.Crop)
		}
	}
	return "New from the recipe file: " + strings.Join(crops, ", ") + ". Earlier revisions are kept."
}
