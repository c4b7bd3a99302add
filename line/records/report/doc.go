package report

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"shedbell/line/say"
)

// Doc is a report.
type Doc struct {
	Name     string // for file names and JSON: "safety"
	Title    say.Sentence
	Lines    []say.Sentence // under the title: place, dates, who made it
	Sections []Section
	Foot     say.Sentence // on every page: what the report does not say
	Made     time.Time    // instant of the newest record that it rests on

	words *say.Speaker // nil: English
}

// Section is a part of a report.
type Section struct {
	Name   string // for JSON: "fridge"
	Title  say.Sentence
	Text   []say.Sentence // paragraphs before the table
	Table  *Table
	Charts []Chart
}

// Column is a column of a table.
type Column struct {
	Key   string // for JSON and CSV: "contact_min"
	Head  string
	Unit  string
	Right bool
	Type  string // of a Table Schema, for Package; empty: string
}

// Table is rows of cells.
type Table struct {
	Columns []Column
	Rows    [][]Cell
}

// Cell is a value as it is written and, where it is a number, its number.
type Cell struct {
	Text   string
	Number float64
	IsNum  bool
	Unit   string       // of the number, where the column has readings in several; the text has it
	At     time.Time    // the instant that the text is of
	Said   say.Sentence // the text with its values apart, where it is made of words
}

// Text is a cell of text.
func Text(s string) Cell { return Cell{Text: Clean(s)} }

// Sentence is a cell with a sentence.
func Sentence(s say.Sentence) Cell {
	c := Text(s.String())
	c.Said = s
	return c
}

// Number is a cell with a number at a fixed number of decimals; one that is not a
// number is empty.
func Number(v float64, decimals int) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Cell{}
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-") // no minus before a zero
	}
	n, _ := strconv.ParseFloat(s, 64)
	return Cell{Text: s, Number: n, IsNum: true}
}

// Int is a cell with a whole number.
func Int(n int) Cell { return Cell{Text: strconv.Itoa(n), Number: float64(n), IsNum: true} }

// Minutes is a duration in minutes with a decimal.
func Minutes(d time.Duration) Cell { return Number(d.Minutes(), 1) }

// Instant is a date and time to the minute, with its offset: ISO 8601.
func Instant(t time.Time) Cell {
	if t.IsZero() {
		return Cell{}
	}
	return Cell{Text: t.Format("2006-01-02 15:04 -07:00"), At: t}
}

// Chart is a line of values with its limits, and marks on the axis.
type Chart struct {
	Title  say.Sentence
	Unit   string
	Labels []string       // of the values
	Said   []say.Sentence // the labels with their values apart, where they are words
	Values []float64
	Mean   float64
	Upper  float64
	Lower  float64
	Limits bool // Mean, Upper and Lower are set
	Flags  []int
	Marks  []ChartMark
	Bars   bool // bars instead of a line
	Short  bool // PDF: less high, where a page has to hold more
}

// ChartMark is a change before a value.
type ChartMark struct {
	Before int
	Text   string
}

// Clean takes control characters, line breaks and broken letters out of a text.
func Clean(s string) string {
	if utf8.ValidString(s) && strings.IndexFunc(s, unwanted) < 0 {
		return s
	}
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case unwanted(r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}

// unwanted are control characters and those that turn the direction of writing.
func unwanted(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) && r != '\u00ad' || r == '\u2028' || r == '\u2029'
}
