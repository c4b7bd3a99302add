package command

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"shedbell/line/journal"
	"shedbell/line/records"
	reports "shedbell/line/records/report"
	"shedbell/recipes/strictfile"
)

type recordsCmd struct {
	What   string `arg:"" optional:"" default:"day" enum:"day,time,charts,backlog,safety,lots,labels,alarms,sign-offs,sow,trace,recall" help:"day (the default), time, charts, backlog, safety, lots, labels, alarms, sign-offs, sow, trace LOT or recall LOT."`
	Code   string `arg:"" optional:"" name:"lot-code" placeholder:"LOT" help:"Lot to trace or to recall."`
	From   string `placeholder:"DATE" help:"First day, like 2026-12-01."`
	To     string `placeholder:"DATE" help:"Last day."`
	Crop   string `placeholder:"NAME" help:"Only this crop."`
	Lot    string `placeholder:"LOT" help:"Only this lot."`
	Format string `placeholder:"FORMAT" help:"text, csv, json or pdf. Else by the ending of the file, else text."`
	Output string `short:"o" placeholder:"FILE" help:"File to write, instead of the screen."`
}

// Help is shown after the summary of the flags.
func (*recordsCmd) Help() string {
	return `Everything comes from the journal, also while a board has it open; nothing is changed. Values stand beside their limits and sources; whether a lot may be sold is for the product's label and the inspector.

  shedbell records day                     the last day on a page
  shedbell records safety --from 2026-12-01 -o folder.pdf
  shedbell records recall 2026-12-03-007   all that shared water or a basket`
}

// mostMemory makes the collector work harder before ten years take more.
const mostMemory = 140 << 20

func (c *recordsCmd) Run(a *app) error {
	format, err := c.check(a)
	if err != nil {
		return err
	}
	j, err := a.journal()
	if err != nil {
		return err
	}
	defer j.Close()
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(mostMemory))
	book, err := c.read(a, j)
	if err != nil {
		return err
	}
	if err := c.narrowed(a, book); err != nil {
		return err
	}
	var out bytes.Buffer
	if err := c.write(&out, a, book, format); err != nil {
		return err
	}
	if c.Output == "" {
		_, err = a.env.Stdout.Write(out.Bytes())
		return err
	}
	return replaceFile(c.Output, out.Bytes())
}

// narrowed finds a crop or a lot that leaves nothing over because nobody knows it.
func (c *recordsCmd) narrowed(a *app, b *records.Book) error {
	if len(b.Batches) > 0 {
		return nil
	}
	crops := append(b.Recipes.Crops(), a.readFiles().book.Crops()...)
	slices.Sort(crops)
	switch crops = slices.Compact(crops); {
	case c.Crop != "" && !slices.Contains(crops, c.Crop):
		return fmt.Errorf("there is no crop %q%s There is %s", strictfile.Printable(c.Crop), meant(c.Crop, crops), strings.Join(crops, ", "))
	case c.Lot != "":
		return fmt.Errorf("no lot %q was packed on the days asked for. See which there are with: shedbell records lots", strictfile.Printable(c.Lot))
	}
	return nil
}

var recordFormats = []string{"text", "csv", "json", "pdf"}

// check finds what is wrong with the flags before anything is read.
func (c *recordsCmd) check(a *app) (format string, err error) {
	for flag, date := range map[string]string{"--from": c.From, "--to": c.To} {
		if _, err := time.Parse(time.DateOnly, date); date != "" && err != nil {
			return "", fmt.Errorf("%s %s is no date. Write year-month-day, like 2026-12-03", flag, date)
		}
	}
	needsLot := c.What == "trace" || c.What == "recall"
	switch {
	case c.From != "" && c.To != "" && c.From > c.To:
		return "", fmt.Errorf("--from %s is after --to %s. Turn them round", c.From, c.To)
	case needsLot && c.Code == "":
		return "", fmt.Errorf("say which lot, like: shedbell records %s 2026-12-03-007", c.What)
	case !needsLot && c.Code != "":
		return "", fmt.Errorf("%s takes no lot after it. Narrow it with --lot %s", c.What, c.Code)
	}
	format = strings.ToLower(c.Format)
	if ending := strings.TrimPrefix(strings.ToLower(filepath.Ext(c.Output)), "."); format == "" && slices.Contains(recordFormats, ending) {
		format = ending
	}
	if format == "" {
		format = "text"
	}
	if !slices.Contains(recordFormats, format) {
		return "", fmt.Errorf("there is no format %q. Give text, csv, json or pdf", strictfile.Printable(c.Format))
	}
	if format == "pdf" && c.Output == "" && a.env.Terminal {
		return "", errors.New("a PDF cannot be shown here. Name a file with -o FILE")
	}
	return format, nil
}

// read reads as much of the journal as the report needs.
func (c *recordsCmd) read(a *app, j *journal.Journal) (*records.Book, error) {
	b := &bookReader{j: j, ctx: a.ctx, now: a.env.Now(), tell: progress(a.env.Stderr, a.env.Now, "reading the journal")}
	f := records.Filter{From: c.From, To: c.To, Crop: c.Crop, Lot: c.Lot}
	switch c.What {
	case "trace", "recall", "sow":
		return b.whole(records.Filter{}) // what they look for may lie on any day
	case "backlog", "sign-offs": // whatever the dates, they rest on what went before
		return b.whole(f)
	case "day":
		if f.From == "" {
			date, err := b.lastDay(f)
			if err != nil {
				return nil, err
			}
			if date != "" {
				f.From, f.To = date, date
			}
		}
	}
	if f.From == "" && f.To == "" {
		return b.whole(f)
	}
	return b.days(f)
}

func (c *recordsCmd) write(w io.Writer, a *app, b *records.Book, format string) error {
	if c.What == "labels" && format == "text" {
		_, err := io.WriteString(w, reports.LabelText(b))
		return err
	}
	d, err := c.doc(a, b)
	if err != nil {
		return err
	}
	switch format {
	case "csv":
		return reports.CSV(w, d)
	case "json":
		return reports.JSON(w, d)
	case "pdf":
		return reports.PDF(w, d)
	}
	return reports.Plain(w, d)
}

func (c *recordsCmd) doc(a *app, b *records.Book) (*reports.Doc, error) {
	switch c.What {
	case "trace":
		return reports.Trace(b, c.Code)
	case "recall":
		return reports.Recall(b, c.Code)
	case "sow":
		return reports.Sow(b, a.env.Now().Format(time.DateOnly)), nil
	case "day":
		if len(b.Days) == 0 {
			return nil, errors.New("the journal has no such day. See which there are with: shedbell records time")
		}
		date := b.Days[len(b.Days)-1].Date
		if err := records.RehearseOneMore(a.ctx, b, date); err != nil {
			return nil, err
		}
		d, _ := reports.Day(b, date)
		return d, nil
	}
	return reports.What[c.What](b), nil
}

// replaceFile writes a file beside its place and moves it there, so that a full
// disk leaves what was there before.
func replaceFile(path string, data []byte) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return fmt.Errorf("%s is a folder. Give the name of a file in it", path)
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".shedbell-records-*")
	if err != nil {
		return fmt.Errorf("cannot write there: %w", err)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	return os.Rename(f.Name(), path)
}
