package live

import (
	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
)

// TakeRecipes takes over what the recipe file says that it did not say before, each
// as a new revision; revisions made on the board stay in the history. The notice
// names them, and is empty where nothing is new.
func (l *Line) TakeRecipes(file []recipes.Recipe) (notice say.Speech) {
	l.mu.Lock()
	defer l.mu.Unlock()
	c := line.ImportRecipes{Recipes: file, Kept: true}
	if _, no := line.Decide(l.state, c, l.clock.Now()); no != nil {
		if no.Rule == line.RuleNothing {
			return nil
		}
		return no.Says
	}
	_, records, _ := l.do(c, l.by)
	var crops say.List
	for _, r := range records {
		if e, ok := r.Event.(line.RecipeRevised); ok {
			crops = append(crops, say.Crop(e.Recipe.Crop))
		}
	}
	return say.Speech{say.New("notice.new-recipes", crops)}
}
