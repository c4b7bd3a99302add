package command

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/charmbracelet/x/term"
	"golang.org/x/crypto/bcrypt"

	"shedbell/line/live/meters"
	"shedbell/line/say"
)

type metersCmd struct {
	Show     metersShowCmd     `cmd:"" default:"withargs"`
	Password metersPasswordCmd `cmd:""`
	Find     metersFindCmd     `cmd:""`
	Simulate metersSimulateCmd `cmd:""`
}

type metersShowCmd struct {
	JSON bool `name:"json"`
}

// reportHolds is how old a report may be of a board that still listens: it leaves one
// every five seconds.
const reportHolds = 15 * time.Second

func (c *metersShowCmd) Run(a *app) error {
	dir, err := a.folder()
	if err != nil {
		return err
	}
	report, err := meters.LastReport(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return say.Error("cmd-meters.none", dir)
	}
	if err != nil {
		return err
	}
	if c.JSON {
		for i := range report.Meters {
			report.Meters[i].Says = say.Sentence{}
		}
		return writeJSON(a.env.Stdout, report)
	}
	head := a.words.Say("cmd-meters.listens", report.Address)
	if a.env.Now().Sub(report.At) > reportHolds {
		head = a.words.Say("cmd-meters.ended", minute(report.At))
	}
	_, err = io.WriteString(a.env.Stdout, wrap(head, 0)+a.meterTable(&report))
	return err
}

// meterTable lists what the meters say.
func (a *app) meterTable(report *meters.Report) string {
	w := a.words
	seconds := func(s *float64) string {
		if s == nil {
			return ""
		}
		return w.Say("cmd-meters.seconds", *s)
	}
	var rows [][]string
	for i := range report.Meters {
		e := &report.Meters[i]
		value, does := w.Say("cmd-meters.nothing"), ""
		if e.Value != nil {
			value = fmt.Sprintf("%.4g %s", *e.Value, e.Unit)
		}
		switch {
		case !e.Says.IsZero():
			does = w.Sentence(e.Says)
		case e.Kept:
			does = w.Say("cmd-meters.kept")
		case e.Value != nil && !e.Fresh:
			does = w.Say("cmd-meters.stale")
		case e.State == "on":
			does = w.Say("cmd-meters.on")
		case e.State == "off":
			does = w.Say("cmd-meters.off")
		}
		rows = append(rows, []string{e.Of, value, seconds(e.AgeS), seconds(e.EveryS), does, e.Topic})
	}
	return printableLines(table([]column{{head: w.Say("cmd-meters.measures"), most: 20}, {head: w.Say("cmd-meters.value"), right: true, most: 14},
		{head: w.Say("cmd-meters.age"), right: true, most: 7}, {head: w.Say("cmd-meters.every"), right: true, most: 6},
		{head: w.Say("cmd-meters.does"), most: 16}, {head: w.Say("cmd-meters.topic"), most: 40}}, rows))
}

type metersPasswordCmd struct{}

// Lengths of a password; bcrypt takes no more.
const (
	shortestPassword = 8
	longestPassword  = 72
)

func (metersPasswordCmd) Run(a *app) error {
	password, err := a.password()
	if err != nil {
		return err
	}
	if n := len(password); n < shortestPassword || n > longestPassword {
		return say.Error("cmd-meters.too-short")
	}
	hash, err := bcrypt.GenerateFromPassword([]byte(password), bcrypt.DefaultCost)
	if err == nil {
		_, err = fmt.Fprintf(a.env.Stdout, "%s\n", hash)
	}
	return err
}

// password reads one, at a terminal without showing it.
func (a *app) password() (string, error) {
	if f, ok := a.env.Stdin.(*os.File); ok && term.IsTerminal(f.Fd()) {
		fmt.Fprint(a.env.Stderr, a.words.Say("cmd-meters.password"))
		got, err := term.ReadPassword(f.Fd())
		fmt.Fprintln(a.env.Stderr)
		return string(got), err
	}
	got, err := bufio.NewReader(io.LimitReader(a.env.Stdin, 1024)).ReadString('\n')
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return strings.TrimRight(got, "\r\n"), err
}
