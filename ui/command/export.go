package command

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"shedbell/line/records"
	reports "shedbell/line/records/report"
	"shedbell/line/say"
)

type exportCmd struct {
	Dir string `arg:"" placeholder:"DIR" complete:"folder"`
}

func (c *exportCmd) Run(a *app) error {
	j, err := a.journal()
	if err != nil {
		return err
	}
	defer j.Close()
	book, err := (&bookReader{j: j, ctx: a.ctx, now: a.env.Now(), tell: progress(a), deep: true}).whole(records.Filter{})
	if err != nil {
		return err
	}
	if err := os.MkdirAll(c.Dir, 0o755); err != nil {
		return say.Error("cmd-records.cannot-write-there", err)
	}
	rows := 0
	d, err := reports.Export(book, func(d *reports.Doc, s *reports.Section) error {
		rows += len(s.Table.Rows)
		return writeTable(filepath.Join(c.Dir, s.Name+".csv"), d, s.Table)
	})
	if err != nil {
		return err
	}
	var about bytes.Buffer
	if err := reports.Package(&about, d, a.words.Speaker); err != nil {
		return err
	}
	if err := replaceFile(filepath.Join(c.Dir, "datapackage.json"), about.Bytes()); err != nil {
		return err
	}
	fmt.Fprint(a.env.Stdout, printableLines(a.words.Say("cmd-export.written", a.words.Say("cmd-count.table", len(d.Tables())), a.words.Say("cmd-count.row", rows), c.Dir)))
	return nil
}

func writeTable(path string, d *reports.Doc, t *reports.Table) error {
	var out bytes.Buffer
	if err := reports.CSV(&out, d, t); err != nil {
		return err
	}
	return replaceFile(path, out.Bytes())
}

// tables writes the one table of a report, or that which was asked for. Of several each
// gets a file of its own, named after the one that was given.
func (c *recordsCmd) tables(w *bytes.Buffer, a *app, d *reports.Doc) error {
	all := d.Tables()
	var names []string
	for _, s := range all {
		names = append(names, s.Name)
		if s.Name == c.Table {
			return reports.CSV(w, d, s.Table)
		}
	}
	switch {
	case c.Table != "":
		return say.Error("cmd-records.no-table", c.Table, strings.Join(names, ", "))
	case len(all) == 1:
		return reports.CSV(w, d, all[0].Table)
	case c.Output == "":
		return say.Error("cmd-records.which-table", strings.Join(names, ", "))
	}
	ending := filepath.Ext(c.Output)
	for i, s := range all {
		names[i] = strings.TrimSuffix(c.Output, ending) + "-" + s.Name + ending
		if err := writeTable(names[i], d, s.Table); err != nil {
			return err
		}
	}
	c.written = true
	fmt.Fprint(a.env.Stdout, printableLines(strings.Join(names, "\n")))
	return nil
}
