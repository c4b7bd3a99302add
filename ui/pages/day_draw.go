package pages

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Columns of the form.
const (
	dayNameAt  = 3
	dayNameMax = 18
	dayFieldW  = 6
)

// Draw draws the form. It scrolls with the row that the keys act on; the sum and
// the way out stay.
func (f *Day) Draw(env *screen.Env, r canvas.Region) {
	if f.crops == nil {
		f.fill(env)
	}
	title := "day.title"
	if f.adding {
		title = "day.title-adding"
	}
	from := ""
	if now, _ := f.source(env); !f.adding {
		from = now.label
	}
	body := screen.Page(env, r, env.Words.Say(title, env.State.Site.Name, env.Words.Date(env.Now, "Mon 2 Jan")), from, f.Keys(env), keyDayBack, keyDayHelp)
	if body.H < 3 {
		f.drawRow(env, body.Rows(0, 1), f.row)
		return
	}
	f.drawHeads(env.Words, body.Rows(0, 1))
	notes := f.notes(env)
	if body.H <= 8 {
		notes = nil
	}
	foot := 1 + len(notes)
	f.drawRows(env, body.Rows(1, body.H-foot-1))
	f.drawSum(env, body.Rows(body.H-foot, 1))
	for i, text := range notes {
		body.Put(1, body.H-len(notes)+i, theme.Faint, text)
	}
}

func (f *Day) drawHeads(w *words.Speaker, r canvas.Region) {
	r.Put(dayNameAt, 0, theme.Faint, w.Say("day.head-crop"))
	x := dayNameAt + dayNameMax
	r.PutRight(x+dayFieldW, 0, theme.Faint, w.Say("day.head-trays"))
	r.PutRight(x+2*dayFieldW+3, 0, theme.Faint, w.Say("day.head-due"))
	if f.adding {
		r.Put(x+2*dayFieldW+7, 0, theme.Faint, w.Say("day.head-already"))
	}
}

func (f *Day) drawRows(env *screen.Env, r canvas.Region) {
	step := 1
	if r.H >= 2*f.rows()+2 {
		step = 2
	}
	room := max(r.H/step, 1)
	first := 0
	if f.rows() > room {
		first = min(max(0, f.row-room/2), f.rows()-room)
	}
	for i := first; i < f.rows() && i-first < room; i++ {
		f.drawRow(env, r.Rows((i-first)*step, 1), i)
	}
	if first+room < f.rows() {
		r.PutRight(r.W-1, r.H-1, theme.Faint, env.Words.Say("day.more-below"))
	}
	if first > 0 {
		r.PutRight(r.W-1, 0, theme.Faint, env.Words.Say("day.more-above"))
	}
}

func (f *Day) drawRow(env *screen.Env, r canvas.Region, row int) {
	here := row == f.row
	role, g := theme.Text, r.Theme().Glyphs
	if here {
		role = theme.Chosen
		r.Put(1, 0, theme.Strong, g.Arrow)
	}
	if c := f.cropAt(row); c != nil {
		r.Sub(dayNameAt, 0, dayNameMax-1, 1).Put(0, 0, role, c.name)
		x := dayNameAt + dayNameMax
		f.drawField(env.Words, r.Sub(x, 0, dayFieldW+2, 1), c.trays, here && !f.inDue, false)
		f.drawField(env.Words, r.Sub(x+dayFieldW+3, 0, dayFieldW+2, 1), clockDigits(c.due), here && f.inDue, true)
		if f.adding {
			r.Put(x+2*dayFieldW+7, 0, theme.Faint, already(env, c.name, r.W-x-2*dayFieldW-7))
		}
		return
	}
	if p := f.personAt(row); p != nil {
		state := "day.off-line"
		if p.on {
			state = "day.on-line"
		}
		r.Sub(dayNameAt, 0, dayNameMax-1, 1).Put(0, 0, role, p.name)
		r.Put(dayNameAt+dayNameMax+1, 0, theme.Text, env.Words.Say(state))
		return
	}
	if here {
		role = theme.Action
	}
	r.Put(dayNameAt-1, 0, role, " "+capital(env.Words.Say(f.sends()))+" ")
}

// capital begins a text with a capital letter.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// drawField draws a field right-aligned, with brackets around the one that digits
// go into.
func (f *Day) drawField(w *words.Speaker, r canvas.Region, text string, here, due bool) {
	g := r.Theme().Glyphs
	if !here {
		if text == "" {
			text = g.Dot
		}
		r.PutRight(dayFieldW, 0, theme.Strong, text)
		return
	}
	if !f.fresh {
		text += g.Cursor
	} else if text == "" && due {
		text = w.Say("day.hhmm")
	}
	r.PutRight(dayFieldW+1, 0, theme.Action, fmt.Sprintf("[%4s]", text))
}

// already says what the open day has of a crop, in figures where words have no room.
func already(env *screen.Env, crop string, room int) string {
	trays, batches := 0, 0
	for i := range env.State.Batches {
		if b := &env.State.Batches[i]; b.Crop == crop && b.Trays > 0 {
			trays += b.Trays
			batches++
		}
	}
	if trays == 0 {
		return ""
	}
	text := env.Words.Say("day.sum", env.Words.Trays(trays), env.Words.Batches(batches))
	if canvas.Width(text) > room {
		text = env.Words.Say("day.sum", strconv.Itoa(trays), env.Words.Batches(batches))
	}
	return text
}

// drawSum says what the form comes to, or what keeps it from being sent.
func (f *Day) drawSum(env *screen.Env, r canvas.Region) {
	trays, batches, fault := f.preview(env)
	text, role := env.Words.Say("day.sum", env.Words.Trays(trays), env.Words.Batches(batches)), theme.Strong
	switch {
	case f.inDue && !f.fresh && len(*f.field()) < maxDueDigits:
		text, role = env.Words.Say("day.four-digits"), theme.Text
	case fault != "" && !f.touched:
		text, role = env.Words.Say("day.type-trays", env.Words.Say(f.sends())), theme.Text
	case fault != "":
		text, role = fault, theme.Text
	case trays == 0:
		text = env.Words.Say("day.crew-changes")
	case f.adding:
		text = env.Words.Say("day.sum-more", text)
	}
	r.Put(1, 0, role, text)
}

// notes are what else the source said that the rows do not show.
func (f *Day) notes(env *screen.Env) []string {
	var out []string
	if len(f.over) > 0 {
		crops := make([]string, len(f.over))
		for i, d := range f.over {
			crops[i] = d.Crop + " " + env.Words.TimeOfDay(d.Due.In(env.Now.Location()), "")
		}
		out = append(out, env.Words.Say("day.over", strings.Join(crops, ", ")))
	}
	if len(f.apart) > 0 {
		pairs := make([]string, len(f.apart))
		for i, p := range f.apart {
			pairs[i] = env.Words.Say("day.pair", p[0], p[1])
		}
		out = append(out, env.Words.Say("day.apart", strings.Join(pairs, ", ")))
	}
	return out
}
