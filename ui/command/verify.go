package command

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line/journal"
	reports "shedbell/line/records/report"
	"shedbell/line/say"
)

type verifyCmd struct {
	Words []string `arg:"" optional:"" placeholder:"WORD"`
}

// shownWords is for how many days back the words are shown: what fits on one page.
const shownWords = 31

func (c *verifyCmd) Run(a *app) error {
	asked := make([]journal.Word, len(c.Words))
	for i, text := range c.Words {
		word, ok := journal.ParseWord(text)
		if !ok {
			return say.Error("cmd-verify.no-word", text)
		}
		asked[i] = word
	}
	j, err := a.journal()
	if err != nil {
		return err
	}
	defer j.Close()
	if len(asked) == 0 {
		return a.listWords(j)
	}
	return a.holdAgainst(j, asked)
}

// listWords prints the word of each day's last record, to be kept on paper.
func (a *app) listWords(j *journal.Journal) error {
	var days []journal.Link
	err := j.Chain(a.ctx, func(l journal.Link) error {
		if n := len(days); n > 0 && days[n-1].At.Format(time.DateOnly) == l.At.Format(time.DateOnly) {
			days[n-1] = l
			return nil
		}
		days = append(days, l)
		return nil
	})
	if err != nil {
		return err
	}
	var out strings.Builder
	for _, l := range days[max(0, len(days)-shownWords):] {
		fmt.Fprintf(&out, "%s  %s\n", l.Word, a.words.Say("cmd-verify.record", l.Seq, minute(l.At)))
	}
	fmt.Fprint(a.env.Stdout, printableLines(out.String()), wrap(a.words.Say("cmd-verify.keep"), 0))
	return nil
}

// holdAgainst looks for the words of a paper in the journal. One that is nowhere is an
// error, with how far the others reach.
func (a *app) holdAgainst(j *journal.Journal, asked []journal.Word) error {
	found := map[journal.Word]journal.Link{}
	for _, w := range asked {
		found[w] = journal.Link{}
	}
	err := j.Chain(a.ctx, func(l journal.Link) error {
		if _, is := found[l.Word]; is {
			found[l.Word] = l
		}
		return nil
	})
	if err != nil {
		return err
	}
	var lost []string
	var whole journal.Link // of the words that are there, the last
	for _, w := range asked {
		l := found[w]
		if l.Seq == 0 {
			lost = append(lost, w.String())
			continue
		}
		if l.Seq > whole.Seq {
			whole = l
		}
		fmt.Fprint(a.env.Stdout, wrap(a.words.Say("cmd-verify.same", w.String(), l.Seq, minute(l.At)), 2))
	}
	switch {
	case len(lost) == 0:
		return nil
	case whole.Seq > 0:
		return say.Error("cmd-verify.since", strings.Join(lost, ", "), whole.Seq, minute(whole.At))
	}
	return say.Error("cmd-verify.none", strings.Join(lost, ", "))
}

// witnessed puts the journal's check word on a page that will be kept on paper.
func witnessed(a *app, j *journal.Journal, d *reports.Doc) error {
	var last journal.Link
	err := j.Chain(a.ctx, func(l journal.Link) error {
		last = l
		return nil
	})
	if err != nil || last.Seq == 0 {
		return err
	}
	d.Lines = append(d.Lines, say.New("cmd-verify.witness", last.Word.String(), last.Seq, minute(last.At)))
	return nil
}

func minute(t time.Time) string { return t.Format("2006-01-02 15:04") }
