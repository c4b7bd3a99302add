package cleanup

import (
	"slices"
	"strconv"
	"strings"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Sizes of the list of steps.
const (
	besideFromW = 100 // from here on the list is at the side
	listW       = 38
	cellW       = 28 // of a step where several stand in a row
	roomyFromH  = 26 // below, a form has the list's rows
)

// Draw draws the steps and what there is to do at the current one.
func (s *Screen) Draw(env *screen.Env, r canvas.Region) {
	title := env.Words.Say("cleanup.title", env.State.Site.Name)
	if env.State.Sheet == nil {
		body := screen.Page(env, r, title, "", s.Actions(env))
		body.Inset(1, 0).Wrapped(theme.Text, env.Words.Say("cleanup.no-day"))
		return
	}
	d := read(env)
	at := s.current(d)
	body := screen.Page(env, r, title, env.Words.Say("cleanup.signs", words.Initials(s.signs(env)), s.signs(env)), s.Actions(env))
	if body.W >= besideFromW && body.H >= int(stepCount) {
		step := 1
		if body.H >= 2*int(stepCount) {
			step = 2
		}
		drawSteps(d, at, body.Sub(0, 0, listW, body.H), 1, step)
		s.drawPanel(env, d, at, body.Sub(listW+2, 0, body.W-listW-3, body.H))
		return
	}
	cols := max(1, min(body.W/cellW, 3))
	rows := (int(stepCount) + cols - 1) / cols
	if body.H < rows+4 || body.H < roomyFromH && (s.typing != nil || s.full > 0) { // the step at hand matters more than the list
		s.drawPanel(env, d, at, body.Inset(1, 0))
		return
	}
	drawSteps(d, at, body.Rows(0, rows), cols, 1)
	body.Rule(rows)
	s.drawPanel(env, d, at, body.Rows(rows+1, body.H-rows-1).Inset(1, 0))
}

// drawSteps lists the steps with their state, down the columns.
func drawSteps(d *day, at Step, r canvas.Region, cols, step int) {
	all, _ := d.progress()
	rows := (int(stepCount) + cols - 1) / cols
	w := r.W / cols
	for i := range stepCount {
		cell := r.Sub(int(i)/rows*w, int(i)%rows*step, w, 1)
		role := theme.Text
		if i == at {
			role = theme.Chosen
			cell.Put(0, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		cell.Put(1, 0, theme.Strong, strconv.Itoa(int(i)+1))
		cell.Put(3, 0, role, i.name(d.t))
		state, stateRole := d.t.Say("cleanup-state."+string(all[i])), theme.Faint
		switch all[i] {
		case Now:
			stateRole = theme.Strong
		case Done:
			stateRole = theme.Calm
			if note, _ := d.done(i); note != "" && w >= listW {
				state = d.t.Say("cleanup.state-note", state, note)
			}
		}
		cell.Sub(18, 0, w-19, 1).Put(0, 0, stateRole, state)
	}
}

// panel writes rows one under the other.
type panel struct {
	r canvas.Region
	y int
}

func (p *panel) put(role theme.Role, text string) {
	if text != "" && p.y < p.r.H {
		p.y += p.r.Rows(p.y, p.r.H-p.y).Wrapped(role, text)
	}
}

// rest is the region that is still free.
func (p *panel) rest() canvas.Region { return p.r.Rows(p.y, max(p.r.H-p.y, 0)) }

func (s *Screen) drawPanel(env *screen.Env, d *day, at Step, r canvas.Region) {
	p := &panel{r: r}
	p.put(theme.Action, " "+s.sentence(env, d, at)+" ")
	s.drawCautions(env, s.cautions(at, d), p)
	switch s.typing {
	case nil:
		s.drawStep(env, d, at, p)
	case s.mix:
		mix{s.mix, env.Words, &env.State.Site.Limits}.draw(env, p.rest())
	default:
		if n := d.s.Unfinished(); n > 0 {
			p.put(theme.Soon, d.t.Say("cleanup.not-cold", n))
		}
		s.note.Draw(env, p.rest())
	}
}

// drawCautions draws each caution in its line, or one in full. A trainee has all of
// them in full where that leaves room for the step.
func (s *Screen) drawCautions(env *screen.Env, all []words.Danger, p *panel) {
	if s.full > 0 && s.full <= len(all) {
		p.put(theme.Soon, env.Words.Caution(all[s.full-1], true))
		return
	}
	rows := 0
	for _, c := range all {
		rows += len(canvas.Wrap(env.Words.Caution(c, true), p.r.W))
	}
	full := env.Prefs.Trainee && rows <= p.r.H*2/3
	for _, c := range all {
		p.put(theme.Soon, env.Words.Caution(c, full))
	}
}

// sentence is what to do, in the imperative.
func (s *Screen) sentence(env *screen.Env, d *day, at Step) string {
	t := d.t
	note, ok := d.done(at)
	switch {
	case ok && at != Surfaces && note == "":
		return t.Say("cleanup.is-done", at.name(t))
	case ok && at != Surfaces:
		return t.Say("cleanup.is-done-by", at.name(t), note)
	}
	switch at {
	case DrainScreens:
		return t.Say("cleanup.lift-screens")
	case TraysOut:
		return t.Say("cleanup.count-out")
	case PressureWash:
		if c := d.chore(line.WashTrays); c != nil {
			return t.Say("cleanup.finish-wash", t.Trays(c.Trays))
		}
		if d.s.Trays.Dirty == 0 {
			return t.Say("cleanup.wash-nothing")
		}
		return t.Say("cleanup.wash", t.Trays(d.s.Trays.Dirty))
	case TraysIn:
		return t.Say("cleanup.count-in")
	case Mix:
		return t.Say("cleanup.mix")
	case ContactTime:
		return s.contactSentence(env, d)
	case Surfaces:
		return t.Say("cleanup.tick-off")
	case Sow:
		return sowSentence(d)
	}
	return t.Say("cleanup.close")
}

func (s *Screen) contactSentence(env *screen.Env, d *day) string {
	c := d.chore(line.SanitizeAll)
	switch {
	case c == nil:
		return d.t.Say("cleanup.wet-all")
	case c.Step.Left(env.Now) > 0:
		return d.t.Say("cleanup.keep-wet")
	}
	return d.t.Say("cleanup.contact-over")
}

func sowSentence(d *day) string {
	if c := d.chore(line.SowTrays); c != nil {
		return d.t.Say("cleanup.finish-sowing", d.t.Trays(c.Trays), say.Crop(c.Crop))
	}
	return d.t.Say("cleanup.sow", d.t.Trays(d.s.SowLeft()))
}

// cautions are the dangers of a step.
func (s *Screen) cautions(at Step, d *day) []words.Danger {
	switch at {
	case DrainScreens:
		return []words.Danger{words.DangerElectric}
	case PressureWash:
		return []words.Danger{words.DangerJet, words.DangerElectric, words.DangerWetFloor}
	case Mix, ContactTime:
		in := d.s.Sanitizer()
		if s.typing != nil && s.typing == s.mix {
			in = d.s.Site.Limits.Holds(s.mix.Text("product"))
		}
		return []words.Danger{words.DangerOf(in)}
	case Surfaces:
		return []words.Danger{words.DangerElectric, words.DangerWetFloor}
	}
	return nil
}

func (s *Screen) drawStep(env *screen.Env, d *day, at Step, p *panel) {
	switch at {
	case DrainScreens:
		p.put(theme.Text, d.t.Say("cleanup.screens"))
	case TraysOut:
		s.drawCount(d, line.EntryTraysOut, d.t.Say("cleanup.were-cut", d.cut), p)
	case PressureWash:
		drawWash(env, d, p)
	case TraysIn:
		s.drawCount(d, line.EntryTraysIn, d.t.Say("cleanup.are-washed", d.washed, d.s.Trays.Dirty), p)
	case Mix:
		drawStrength(env, d, p)
	case ContactTime:
		drawContact(env, d, p)
	case Surfaces:
		s.drawSurfaces(env, d, p)
	case Sow:
		drawSow(env, d, p)
	case HandOver:
		drawHandOver(d, p)
	}
}

func (s *Screen) drawCount(d *day, k line.EntryKind, known string, p *panel) {
	p.put(theme.Text, known)
	if e, ok := d.last(k, ""); ok {
		p.put(theme.Text, d.t.Say("cleanup.entered", e.Entry.Value, say.Time(e.Entry.Made), e.Entry.Initials))
	}
	p.put(theme.Strong, d.t.Say("cleanup.counted", s.counted(d, k)))
	if m := d.mismatch(); m != "" {
		p.put(theme.Refuse, d.t.Say("cleanup.disagree", m))
	}
}

// drawWash shows what keeps the pressure washer from starting.
func drawWash(env *screen.Env, d *day, p *panel) {
	if d.chore(line.WashTrays) != nil {
		p.put(theme.Text, d.t.Say("cleanup.runs-alone"))
		return
	}
	if d.s.Trays.Dirty == 0 {
		p.put(theme.Text, d.t.Say("cleanup.no-tray"))
		return
	}
	_, no := line.Decide(d.s, line.StartChore{Kind: line.WashTrays, To: line.Anywhere}, env.Now)
	if no == nil {
		p.put(theme.Calm, d.t.Say("cleanup.all-off"))
		return
	}
	p.put(theme.Refuse, env.Words.Refusal(no))
	if on := stillOn(env); len(on) > 0 {
		p.put(theme.Strong, d.t.Say("cleanup.still-on", strings.Join(on, ", ")))
	}
}

func drawStrength(env *screen.Env, d *day, p *panel) {
	if e, ok := d.s.SurfaceStrength(); ok {
		p.put(theme.Text, d.t.Say("cleanup.strength", d.t.Entry(&e.Entry)))
		for _, b := range env.State.Beside(&e) {
			p.put(theme.Text, env.Words.Beside(&b, true))
		}
	}
	p.put(theme.Text, d.t.Say("cleanup.opens-table"))
	p.put(theme.Faint, d.t.Say("cleanup.label-decides"))
}

// drawContact shows the countdown as large as there is room.
func drawContact(env *screen.Env, d *day, p *panel) {
	c := d.chore(line.SanitizeAll)
	if c == nil {
		if !d.s.Clean.IsZero() {
			p.put(theme.Text, d.t.Say("cleanup.sanitized-at", env.Words.TimeOfDay(d.s.Clean.In(env.Now.Location()), "")))
		}
		p.put(theme.Text, d.t.Say("cleanup.contact-asked", d.t.Span(d.s.ContactTime())))
		return
	}
	left := c.Step.Left(env.Now)
	text := words.Left(max(left, 0))
	p.y++
	free := p.rest()
	if scale := min(free.Rows(0, free.H-3).LargestBlock(text), 3); scale > 0 {
		free.Block(text, scale, theme.Strong)
		_, h := free.BlockSize(text, scale)
		p.y += h + 1
	} else {
		p.put(theme.Strong, text)
	}
	canvas.CountBar(p.rest().Sub(0, 0, min(p.r.W, 60), 1), 1-left.Seconds()/max(c.Step.Planned.Seconds(), 1), theme.Wet)
	p.y++
	if left > 0 {
		p.put(theme.Text, d.t.Say("cleanup.contact-longer"))
	}
}

func (s *Screen) drawSurfaces(env *screen.Env, d *day, p *panel) {
	left := d.unticked()
	strong, ok := d.s.SurfaceStrength()
	if b, rinse := d.s.Site.NeedsRinse(&strong.Entry); ok && rinse {
		p.put(theme.Soon, d.t.Say("cleanup.rinse-first", d.t.Reading(b.Value, b.Limit.Unit), d.t.Reading(b.Limit.Value, b.Limit.Unit)))
	}
	if !ok {
		p.put(theme.Refuse, d.t.Say("cleanup.first-strength"))
	} else if d.s.Clean.IsZero() {
		p.put(theme.Refuse, d.t.Say("cleanup.first-contact"))
	}
	cols := 1
	if p.r.H-p.y < len(surfaces) {
		cols = 2
	}
	rows := (len(surfaces) + cols - 1) / cols
	room := p.rest()
	top := max(0, min(s.marked%rows-room.H/2, rows-room.H)) // the marked one stays in sight
	for i, name := range surfaces {
		if i%rows < top {
			continue
		}
		cell := room.Sub(i/rows*(p.r.W/cols), i%rows-top, p.r.W/cols, 1)
		role, state := theme.Text, d.t.Say("cleanup.to-do")
		if i == s.marked {
			role = theme.Chosen
			cell.Put(0, 0, theme.Strong, p.r.Theme().Glyphs.Arrow)
		}
		stateRole := theme.Faint
		if !slices.Contains(left, name) {
			e, _ := d.last(line.EntrySurface, name)
			state, stateRole = env.Words.TimeOfDay(e.Entry.Made.In(env.Now.Location()), "")+" "+e.Entry.Initials, theme.Calm
		}
		cell.Put(2, 0, role, surfaceName(d.t, name))
		cell.Put(18, 0, stateRole, state)
	}
}
