package command

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// importCmd takes over what people keep in tables of their own: open orders, and the sheet
// of step times.
type importCmd struct {
	File   string `arg:"" placeholder:"FILE" complete:"file"`
	DryRun bool   `name:"dry-run"`
}

// The columns of the tables that can be taken over, as the export names them.
var (
	timeColumns  = []string{"date", "station", "crop", "person", "trays", "took_min"}
	orderColumns = []string{"customer", "crop", "packages", "net_g", "due", "due_at"}
)

// mostFaults is how many faults are listed at the most.
const mostFaults = 50

func (c *importCmd) Run(a *app) error {
	data, err := readFile(c.File)
	if err != nil {
		return unread(c.File, err)
	}
	in := a.readLine()
	t, faults := readTable(c.File, data)
	if faults = append(faults, in.faults...); len(faults) > 0 {
		return &faultsError{faults}
	}
	dir, err := a.folder()
	if err != nil {
		return err
	}
	was, err := a.kept(dir)
	if err != nil {
		return err
	}
	var rows, new int
	take := func(s *line.State) (all []line.Record, err error) {
		rows, new, all, err = t.take(s, was, a.env.Now(), in.site.Crew[0])
		return all, err
	}
	if c.DryRun {
		s, err := a.lineNow(dir, in)
		if err == nil {
			_, err = take(s)
		}
		if err == nil {
			fmt.Fprint(a.env.Stdout, wrap(a.words.Say("cmd-import.would", new, rows-new), 0))
		}
		return err
	}
	if err := a.enter(filepath.Clean(dir), in, take); err != nil {
		return err
	}
	fmt.Fprint(a.env.Stdout, wrap(a.words.Say("cmd-import.took", new, rows-new), 0))
	return nil
}

// kept are the step times that the journal of a folder has.
func (a *app) kept(dir string) ([]pace.Work, error) {
	j, err := journal.OpenReadOnly(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer j.Close()
	book, err := (&bookReader{j: j, ctx: a.ctx, now: a.env.Now(), tell: progress(a), deep: true}).whole(records.Filter{})
	if err != nil {
		return nil, err
	}
	return book.Detail.Times, nil
}

// csvTable is a table that somebody wrote.
type csvTable struct {
	file   string
	head   []string
	lines  []int // of the file, by row
	cells  [][]string
	faults []strictfile.Fault
}

// readTable reads RFC 4180, with semicolons too, as spreadsheets write them where the
// comma is the decimal sign.
func readTable(file string, data []byte) (*csvTable, []strictfile.Fault) {
	t := &csvTable{file: file}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	if first, _, _ := bytes.Cut(data, []byte("\n")); bytes.Count(first, []byte(";")) > bytes.Count(first, []byte(",")) {
		r.Comma = ';'
	}
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if bad := (*csv.ParseError)(nil); errors.As(err, &bad) {
			t.faults = append(t.faults, strictfile.Fault{File: file, Line: bad.Line, Column: bad.Column, Problem: say.New("cmd-import.no-csv", bad.Err.Error()), Mend: say.New("cmd-import.mend-csv")})
			return t, t.faults
		}
		at, _ := r.FieldPos(0)
		if t.head == nil {
			t.head = row
			continue
		}
		if len(row) != len(t.head) {
			t.faults = append(t.faults, strictfile.Fault{File: file, Line: at, Column: 1, Problem: say.New("cmd-import.short", len(row), len(t.head)), Mend: say.New("cmd-import.same-number")})
			continue
		}
		t.lines, t.cells = append(t.lines, at), append(t.cells, row)
	}
	t.checkHead()
	return t, t.faults
}

// isTimes says that the table is one of step times, not of orders.
func (t *csvTable) isTimes() bool { return slices.Contains(t.head, "took_min") }

func (t *csvTable) checkHead() {
	needs, may := []string{"customer", "crop", "due"}, orderColumns
	if t.isTimes() {
		needs, may = []string{"date", "station", "trays", "took_min"}, timeColumns
	}
	for _, name := range needs {
		if !slices.Contains(t.head, name) {
			t.faults = append(t.faults, strictfile.Fault{File: t.file, Line: 1, Column: 1, Problem: say.New("cmd-import.unknown-table"),
				Mend: say.New("cmd-import.needs", strings.Join(timeColumns, ","), strings.Join(orderColumns, ","))})
			return
		}
	}
	for _, name := range t.head {
		if !slices.Contains(may, name) {
			t.faults = append(t.faults, strictfile.Fault{File: t.file, Line: 1, Column: 1, Key: strictfile.Printable(name), Problem: say.New("cmd-import.no-column"), Mend: say.New("cmd-import.leave-out")})
		}
	}
}

func (t *csvTable) cell(row int, name string) string {
	if i := slices.Index(t.head, name); i >= 0 {
		return t.cells[row][i]
	}
	return ""
}

// number reads a cell with a point or a comma; an empty one is 0.
func (t *csvTable) number(row int, name string) float64 {
	text := t.cell(row, name)
	v, err := strconv.ParseFloat(strings.Replace(cmp.Or(text, "0"), ",", ".", 1), 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		t.fault(row, name, say.New("cmd-import.no-number"), say.New("cmd-import.give-number"))
		return 0
	}
	return v
}

func (t *csvTable) fault(row int, name string, problem, mend say.Sentence) {
	f := strictfile.Fault{File: t.file, Line: t.lines[row], Column: 1 + max(0, slices.Index(t.head, name)), Problem: problem, Mend: mend}
	if name != "" {
		f.Key, f.Value = name, strconv.Quote(t.cell(row, name))
	}
	t.faults = append(t.faults, f)
}

// refused is a row that the line does not take.
func (t *csvTable) refused(row int, no *line.Refusal) {
	t.fault(row, "", say.Join(no.Reason(), " "), say.New("cmd-import.mend"))
}

// take makes records of the rows that are new, or says everything that is wrong with them.
// How many rows there are and how many are new is said too.
func (t *csvTable) take(s *line.State, was []pace.Work, now time.Time, by string) (rows, new int, all []line.Record, err error) {
	t.faults = nil
	commands := t.orders(s)
	if t.isTimes() {
		commands = t.times(s, was, now)
	}
	for _, c := range commands {
		if new += c.rows; c.rows == 0 || len(t.faults) > 0 {
			continue
		}
		next, recs, no := line.Do(s, c.command, now, by)
		if no != nil {
			t.refused(c.row, no)
			continue
		}
		s, all = next, append(all, recs...)
	}
	if n := len(t.faults); n > 0 {
		if n > mostFaults { // a column that is wrong is so in every row
			t.faults = append(t.faults[:mostFaults:mostFaults], strictfile.Fault{File: t.file, Problem: say.New("cmd-import.more", n-mostFaults)})
		}
		return 0, 0, nil, &faultsError{t.faults}
	}
	return len(t.cells), new, all, nil
}

// rowCommand is what one or more rows come to.
type rowCommand struct {
	command line.Command
	row     int // the first of them
	rows    int
}

// timeKey is a step time as the export writes it: what it shows the same is the same.
func timeKey(date, station, crop, person string, trays int, took time.Duration) string {
	return fmt.Sprintf("%q %q %q %q %d %.2f", date, station, crop, person, trays, took.Minutes())
}

func (t *csvTable) times(s *line.State, was []pace.Work, now time.Time) []rowCommand {
	there := map[string]int{}
	for _, w := range was {
		there[timeKey(w.Date, w.Station, w.Crop, w.Person, w.Trays, w.Took)]++
	}
	var fresh []line.StepTime
	for row := range t.cells {
		trays := t.number(row, "trays")
		x := line.StepTime{Date: t.cell(row, "date"), Station: t.cell(row, "station"), Crop: t.cell(row, "crop"), Person: t.cell(row, "person"),
			Trays: int(trays), Took: time.Duration(math.Round(t.number(row, "took_min") * float64(time.Minute)))}
		if float64(x.Trays) != trays {
			t.fault(row, "trays", say.New("cmd-import.no-number"), say.New("cmd-import.give-number"))
		} else if no := x.Fault(s, now); no != nil {
			t.refused(row, no)
		}
		if key := timeKey(x.Date, x.Station, x.Crop, x.Person, x.Trays, x.Took); there[key] > 0 {
			there[key]--
			continue
		}
		fresh = append(fresh, x)
	}
	var out []rowCommand
	for part := range slices.Chunk(fresh, 500) { // a record stays small
		out = append(out, rowCommand{line.KeepTimes{Times: part}, 0, len(part)})
	}
	return out
}

func (t *csvTable) orders(s *line.State) []rowCommand {
	there := map[string]int{}
	key := func(customer, crop string, packages int, netG float64, due string) string {
		return fmt.Sprintf("%q %q %d %g %q", customer, crop, packages, netG, due)
	}
	for i := range s.Orders {
		o := &s.Orders[i]
		packages, netG := o.Rest()
		there[key(o.Customer, o.Crop, packages, netG, o.Due)]++
	}
	var out []rowCommand
	for row := range t.cells {
		packages := t.number(row, "packages")
		c := line.TakeOrder{Customer: t.cell(row, "customer"), Crop: t.cell(row, "crop"), Packages: int(packages), NetG: t.number(row, "net_g"), Due: t.cell(row, "due")}
		if float64(c.Packages) != packages {
			t.fault(row, "packages", say.New("cmd-import.no-number"), say.New("cmd-import.give-number"))
		}
		if at := t.cell(row, "due_at"); at != "" {
			when, err := time.Parse(time.RFC3339, at)
			if err != nil {
				t.fault(row, "due_at", say.New("cmd-import.no-number"), say.New("cmd-import.give-number"))
			}
			c.At = when
		}
		if k := key(c.Customer, c.Crop, c.Packages, c.NetG, c.Due); there[k] > 0 {
			there[k]--
			continue
		}
		out = append(out, rowCommand{c, row, 1})
	}
	return out
}

// lineNow is the line as its journal has it, or as it would begin.
func (a *app) lineNow(dir string, in *inputs) (*line.State, error) {
	s, err := keptState(dir, in)
	if err == nil && s == nil {
		s, _ = a.begun(line.NewState(in.site, in.book), in)
	}
	return s, err
}
