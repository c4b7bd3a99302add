// Package form is the one form that all typing becomes: a screen declares rows, and
// reads the answers by the rows' names.
//
//	func (s *Screen) open(env *screen.Env) {
//		s.form = form.New(env, "air.title", "air.why",
//			form.Row{Name: "temp", Label: "air.temperature", Kind: form.Temperature, Min: -20, Max: 50},
//			form.Row{Name: "rh", Label: "air.humidity", Kind: form.Percent, Min: 1, Max: 100, Default: form.Num(60)},
//			form.Row{Label: "air.send", Kind: form.Send})
//	}
//
//	func (s *Screen) Actions(env *screen.Env) act.Table {
//		leave := func() tea.Cmd { s.open = false; return nil } // what was typed stays in s.form
//		return s.form.Fill(env, leave, func() tea.Cmd {
//			c, _ := s.form.Number("temp") // degrees Celsius, however it was asked
//			rh, _ := s.form.Number("rh")
//			return act.Do(line.ReadAir{TempC: c, RHPercent: rh})
//		})
//	}
//
//	func (s *Screen) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
//		if msg, ok := msg.(screen.ResultMsg); ok && msg.Refusal == nil {
//			s.form = nil // else it stays, with what was typed
//		}
//		return nil
//	}
//
//	func (s *Screen) Draw(env *screen.Env, r canvas.Region) { s.form.Draw(env, screen.Page(env, r, "", "", s.Actions(env))) }
//
// A key means the same in every form. On a number pad digits type, Enter takes what
// was typed, or else the default, and goes to the next line, on the last it sends;
// + goes to the next field, - erases (it is the sign where a field is empty and may
// be negative), . is the decimal point, / leaves. How long ago something was, - puts
// a minute earlier and + later. The keyboard has Tab, arrows,
// Backspace, Esc and the comma beside these. A digit answers a choice and goes on. A
// field that is entered again is marked as a whole: what is typed replaces it, - and
// Backspace empty it. In a text - . and / are letters once it has begun, so there Esc
// leaves, or + and then /.
//
// Before the form has been drawn with what it acts on, only the keys that leave count.
package form

import (
	"slices"
	"time"

	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Kind is what a row asks for, and in which unit its number is kept.
type Kind uint8

// Kinds of rows.
const (
	Whole       Kind = iota // a whole number of Unit
	Decimal                 // a number of Unit, or of one of Units; below zero where Min is
	Weight                  // kept in grams; asked in grams, or in pounds and ounces
	Temperature             // kept in degrees Celsius; asked in °C or °F
	Percent
	PPM
	Minutes   // kept in seconds, asked in minutes
	Ago       // kept in seconds, asked in minutes before now, which - and + move
	Duration  // kept in seconds, asked in minutes and seconds
	TimeOfDay // kept in seconds since midnight, typed as HHMM
	Text
	Choice // one of Choices, kept as its index
	YesNo  // a choice of yes, which is the first, and no
	Send   // the line that sends the form off; Label says what that does
)

// Row is one thing that is asked. Texts are keys of the language files, or have been
// said already.
type Row struct {
	Name  string
	Label string
	Kind  Kind

	Unit     string   // what is counted
	Units    []string // Decimal: units to choose among beside the number, Unit at first
	Choices  []string
	Own      string  // Choice: label of a last choice, for something that is typed
	Min, Max float64 // in the unit that is kept; no bounds where both are 0

	Default   Value             // what Enter takes while nothing is typed
	DefaultOf func(*Form) Value // the same where it follows from other rows
	Filled    Value             // what stands there at first, as though it had been typed

	Optional    bool
	LetterFirst bool // Text: a name, so a digit that was meant for the screen before does not begin it
	Draft       bool // Text: Filled is gone on with, not replaced
	Beside      bool // on the same line as the row before
	Note        string
	When        func(*Form) bool   // nil: always there
	Check       func(*Form) string // what is wrong with the answer, and what would be right; empty: nothing
}

// Value is what a row has before anybody types. The zero value is none.
type Value struct {
	known  bool
	number float64
	text   string
}

// Num is a number in the unit that the row's kind keeps, or the index of a choice.
func Num(v float64) Value { return Value{known: true, number: v} }

// Str is a text, or a choice by its text.
func Str(s string) Value { return Value{known: s != "", number: -1, text: s} }

// Span is a length of time, or the time since midnight.
func Span(d time.Duration) Value { return Num(d.Seconds()) }

// Flag is a yes or a no.
func Flag(yes bool) Value {
	if yes {
		return Num(0)
	}
	return Num(1)
}

// Outcome is what a key has come to.
type Outcome uint8

// Outcomes of a key.
const (
	None    Outcome = iota
	Changed         // an answer is another than before
	Left            // the form is left; it keeps what was typed
	Sent            // all rows are in order: read them
)

// Form is a form as far as it has been filled in.
type Form struct {
	Title, Why string
	Sends      string // what Enter does on the last line, where that is no Send row

	words *words.Speaker
	us    bool // pounds, ounces, °F
	half  bool // the clock has 12 hours

	rows  []*row
	at    int    // index of the row that is typed into
	part  int    // index of the part of it
	shown bool   // what keys act on has been drawn
	waits string // what is waited for before anything may be typed
	told  string // about the last key
	fault string // of the form as a whole
}

// New makes a form. Units and clock stay as the preferences are now, for what was
// typed has them.
func New(env *screen.Env, title, why string, rows ...Row) *Form {
	f := &Form{Title: title, Why: why, words: env.Words, us: env.Prefs.US, half: env.Prefs.TwelveHour}
	f.Refill(rows...)
	return f
}

// Ask makes a form of one question, whose answer has the name of the row.
func Ask(env *screen.Env, title, why string, r Row) *Form { return New(env, title, why, r) }

// Confirm makes a form that Enter sends and / leaves.
func Confirm(env *screen.Env, title, why string) *Form {
	return New(env, title, why, Row{Kind: Send, Label: "does.yes"})
}

// SetRows declares other rows. What was typed into one of the same name and kind
// stays, and so does the place where it is typed. A screen whose rows follow from the
// line may do it before each key and each frame.
func (f *Form) SetRows(rows ...Row) {
	before, was := f.rows, f.At()
	f.rows = make([]*row, len(rows))
	for i := range rows {
		f.rows[i] = f.newRow(rows[i])
		for _, old := range before {
			f.rows[i].keep(old)
		}
	}
	for i, r := range f.rows {
		if r.Name == was && before != nil && r.there(f) && f.part <= max(0, len(r.parts)-1) {
			f.at = i
			return
		}
	}
	f.at, f.part = max(0, min(f.at, len(f.rows)-1)), 0
	if len(f.rows) > 0 && !f.rows[f.at].there(f) {
		f.walk(1)
	}
	f.enter()
}

// Refill begins the form again, with rows that the person has not seen yet.
func (f *Form) Refill(rows ...Row) {
	f.rows, f.at, f.part, f.waits, f.shown = nil, 0, 0, "", false
	f.SetRows(rows...)
	if p := f.now(); p != nil && f.rows[f.at].Draft {
		p.marked = false
	}
}

// Wait holds all keys but those that leave until Refill brings what is loaded; why
// is shown instead of the rows.
func (f *Form) Wait(why string) { f.waits, f.shown = why, false }

// Go goes to a row.
func (f *Form) Go(name string) {
	if r := f.row(name); r != nil {
		f.at, f.part = slices.Index(f.rows, r), 0
		f.enter()
	}
}

// Clear takes back what was typed into a row or chosen there.
func (f *Form) Clear(name string) {
	for i, r := range f.rows {
		if r.Name == name {
			f.rows[i] = f.newRow(r.Row)
		}
	}
}

// At is the name of the row that is typed into.
func (f *Form) At() string {
	if len(f.rows) == 0 {
		return ""
	}
	return f.rows[f.at].Name
}

// Fault goes to a row and says what is wrong with it; without a name, it is said of
// the form as a whole.
func (f *Form) Fault(name, text string) {
	if r := f.row(name); r != nil {
		f.Go(name)
		r.fault = text
		return
	}
	f.fault = text
}

// Touched says whether anything was typed or chosen.
func (f *Form) Touched() bool {
	return slices.ContainsFunc(f.rows, func(r *row) bool { return r.there(f) && r.changed() })
}

// Typed says whether an answer was typed or chosen, and not only taken as it stood.
func (f *Form) Typed(name string) bool {
	r := f.row(name)
	return r != nil && r.changed()
}

// row is the row of a name, if it is there now.
func (f *Form) row(name string) *row {
	for _, r := range f.rows {
		if r.Name == name && name != "" && r.there(f) {
			return r
		}
	}
	return nil
}

// Number is a row's number in the unit that its kind keeps; false while there is
// none, or none that may be taken.
func (f *Form) Number(name string) (float64, bool) {
	if r := f.row(name); r != nil {
		v, fault := r.number(f)
		return v.number, v.known && fault == ""
	}
	return 0, false
}

// Int is a row's whole number, 0 while there is none.
func (f *Form) Int(name string) int {
	v, _ := f.Number(name)
	return int(v)
}

// Unit is the index of the unit that a number is typed in.
func (f *Form) Unit(name string) int {
	if r := f.row(name); r != nil && len(r.Units) > 1 {
		return r.parts[1].pick
	}
	return 0
}

// Duration is a row's length of time.
func (f *Form) Duration(name string) (time.Duration, bool) {
	v, ok := f.Number(name)
	return time.Duration(v * float64(time.Second)).Round(time.Millisecond), ok
}

// TimeOfDay is a row's time since midnight.
func (f *Form) TimeOfDay(name string) (time.Duration, bool) { return f.Duration(name) }

// Text is what was typed into a row, or the text of what was chosen.
func (f *Form) Text(name string) string {
	if r := f.row(name); r != nil {
		return r.answer(f)
	}
	return ""
}

// Choice is the index of what was chosen; false while nothing is, or something of
// one's own was typed.
func (f *Form) Choice(name string) (int, bool) {
	if r := f.row(name); r != nil {
		i := r.picked(f)
		return i, i >= 0 && i < len(r.Choices)
	}
	return -1, false
}

// Bool is the answer of a row that asks yes or no.
func (f *Form) Bool(name string) bool {
	r := f.row(name)
	return r != nil && r.picked(f) == 0
}
