package command

import (
	"bytes"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/pace"
	"shedbell/line/records"
	reports "shedbell/line/records/report"
	"shedbell/line/say"
)

type recordsCmd struct {
	What   string `arg:"" optional:"" default:"day" enum:"day,time,charts,backlog,safety,lots,labels,alarms,sign-offs,pace,next,sow,trace,recall"`
	Code   string `arg:"" optional:"" name:"lot-code" placeholder:"LOT"`
	From   string `placeholder:"DATE"`
	To     string `placeholder:"DATE"`
	Crop   string `placeholder:"NAME"`
	Lot    string `placeholder:"LOT"`
	Format string `placeholder:"FORMAT"`
	Table  string `placeholder:"NAME"`
	JSON   bool   `name:"json"`
	Output string `short:"o" placeholder:"FILE" complete:"file"`

	written bool // several files, instead of one
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
	if err := c.write(&out, a, j, book, format); err != nil {
		return err
	}
	if c.written {
		return nil
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
		return say.Error("cmd-records.no-crop", c.Crop, meant(c.Crop, crops), strings.Join(crops, ", "))
	case c.Lot != "":
		return say.Error("cmd-records.no-lot", c.Lot)
	}
	return nil
}

var recordFormats = []string{"text", "csv", "json", "pdf"}

// check finds what is wrong with the flags before anything is read.
func (c *recordsCmd) check(a *app) (format string, err error) {
	for flag, date := range map[string]string{"--from": c.From, "--to": c.To} {
		if _, err := time.Parse(time.DateOnly, date); date != "" && err != nil {
			return "", say.Error("cmd-records.no-date", flag, date)
		}
	}
	needsLot := c.What == "trace" || c.What == "recall"
	switch {
	case c.From != "" && c.To != "" && c.From > c.To:
		return "", say.Error("cmd-records.turned", c.From, c.To)
	case needsLot && c.Code == "":
		return "", say.Error("cmd-records.which-lot", c.What)
	case !needsLot && c.Code != "":
		return "", say.Error("cmd-records.takes-no-lot", c.What, c.Code)
	}
	if format = strings.ToLower(c.Format); c.JSON {
		format = "json"
	}
	if ending := strings.TrimPrefix(strings.ToLower(filepath.Ext(c.Output)), "."); format == "" && slices.Contains(recordFormats, ending) {
		format = ending
	}
	if format == "" {
		format = "text"
	}
	if !slices.Contains(recordFormats, format) {
		return "", say.Error("cmd-records.no-format", c.Format)
	}
	if c.Table != "" && format != "csv" {
		return "", say.Error("cmd-records.table-of-csv", c.Table)
	}
	if format == "pdf" && c.Output == "" && a.env.Terminal {
		return "", say.Error("cmd-records.no-pdf-here")
	}
	return format, nil
}

// read reads as much of the journal as the report needs.
func (c *recordsCmd) read(a *app, j *journal.Journal) (*records.Book, error) {
	b := &bookReader{j: j, ctx: a.ctx, now: a.env.Now(), tell: progress(a)}
	f := records.Filter{From: c.From, To: c.To, Crop: c.Crop, Lot: c.Lot}
	switch c.What {
	case "next":
		return c.paces(a, j)
	case "trace", "recall", "sow":
		return b.whole(records.Filter{}) // what they look for may lie on any day
	case "pace":
		return c.paces(a, j)
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

// paces reads the last days, as many as paces are learned from; from a date on it reads
// everything, so that the promises of all those months are scored.
func (c *recordsCmd) paces(a *app, j *journal.Journal) (*records.Book, error) {
	r := records.NewReader(records.Filter{From: c.From, To: c.To})
	r.Pace = &pace.Learner{}
	days := pace.Window
	if c.From != "" {
		days = math.MaxInt
	}
	err := j.LastDays(a.ctx, days, func(rec line.Record) error {
		if c.To == "" || rec.At.Format(time.DateOnly) <= c.To {
			r.Add(rec)
		}
		return nil
	})
	return r.Book(), err
}

func (c *recordsCmd) write(w *bytes.Buffer, a *app, j *journal.Journal, b *records.Book, format string) error {
	switch {
	case c.What == "labels" && format == "text":
		_, err := io.WriteString(w, reports.LabelText(b, a.words.Speaker))
		return err
	case c.What == "labels" && format == "pdf":
		return reports.LabelSheet(w, b, a.words.Speaker)
	}
	d, err := c.doc(a, b)
	if err != nil {
		return err
	}
	if format == "json" {
		return reports.JSON(w, d)
	}
	if format == "pdf" && c.What == "safety" {
		if err := witnessed(a, j, d); err != nil {
			return err
		}
	}
	switch d = d.In(a.words.Speaker); format {
	case "csv":
		return c.tables(w, a, d)
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
		dir, err := a.folder()
		if err != nil {
			return nil, err
		}
		s, err := a.lineNow(dir, a.readFiles())
		if err != nil {
			return nil, err
		}
		return reports.Sow(b, s, a.env.Now()), nil
	case "next":
		learned, err := (&inputs{}).learned(a)
		if err != nil {
			return nil, err
		}
		changes, err := records.NextHour(a.ctx, b, learned.Paces())
		if err != nil {
			return nil, err
		}
		came, err := records.DidItHelp(a.ctx, b)
		if err != nil {
			return nil, err
		}
		return reports.Next(b, changes, came), nil
	case "day":
		if len(b.Days) == 0 {
			return nil, say.Error("cmd-records.no-day")
		}
		date := b.Days[len(b.Days)-1].Date
		learned, err := (&inputs{}).learned(a)
		if err != nil {
			return nil, err
		}
		if err := records.RehearseOneMore(a.ctx, b, date, learned.Paces()); err != nil {
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
		return say.Error("cmd-records.is-folder", path)
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".shedbell-records-*")
	if err != nil {
		return say.Error("cmd-records.cannot-write-there", err)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return say.Error("cmd-records.cannot-write", path, err)
	}
	return os.Rename(f.Name(), path)
}
