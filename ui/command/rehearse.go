package command

import (
	"errors"
	"io"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/line/say"
)

type rehearseCmd struct {
	Day   string `placeholder:"FILE" complete:"file"`
	Seed  uint64 `default:"1" placeholder:"N"`
	Fresh bool
	JSON  bool `name:"json"`
}

func (r *rehearseCmd) Run(a *app) error {
	in := a.readDay(r.Day)
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	learned, err := in.unless(r.Fresh, a)
	if err != nil {
		return err
	}
	s, sheet, err := in.opened(a)
	if err != nil {
		return err
	}
	res, err := rehearse.Run(a.ctx, s, sheet.Start, rehearse.Options{Seed: r.Seed, Delays: learned.Delays(), Advice: line.Advice{Paces: learned.Paces()}})
	switch {
	case errors.Is(err, rehearse.ErrStuck):
		return say.Error("cmd-rehearse.stuck", err)
	case err != nil:
		return say.Error("cmd-rehearse.stopped", err)
	}
	rep := rehearsal{res: res, sheet: sheet, seed: r.Seed}
	if r.JSON {
		return writeJSON(a.env.Stdout, rep.object())
	}
	_, err = io.WriteString(a.env.Stdout, rep.text(a.words))
	return err
}
