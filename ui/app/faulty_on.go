//go:build shedbell_faulty

package app

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
)

// faulty is a screen that panics as soon as it is drawn.
type faulty struct{}

func (faulty) Update(*screen.Env, tea.Msg) tea.Cmd   { return nil }
func (faulty) Actions(*screen.Env) act.Table         { return nil }
func (faulty) Draw(env *screen.Env, _ canvas.Region) { panic("a fault near " + env.By) }

func addFaulty(set map[screen.Name]screen.Screen) { set["faulty"] = faulty{} }
