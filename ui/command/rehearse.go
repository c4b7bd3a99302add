package command

import (
	"errors"
	"fmt"

	"shedbell/line/rehearse"
)

type rehearseCmd struct {
	Day  string `placeholder:"FILE" help:"Day sheet. Else day.toml of the data folder, else the starter day, today."`
	Seed uint64 `default:"1" placeholder:"N" help:"Seed of the human delays (default 1); the same seed gives the same day."`
	JSON bool   `name:"json" help:"Print one JSON object."`
}

// Help is shown after the summary of the flags.
func (*rehearseCmd) Help() string {
	return `The people on the day sheet follow the prompts with human delays: they answer late and do not work like clocks. What they ask for is judged as on the board, so no start passes the interlock.`
}

func (r *rehearseCmd) Run(a *app) error {
	in := a.readDay(r.Day)
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	s, sheet, err := in.opened(a)
	if err != nil {
		return err
	}
	res, err := rehearse.Run(a.ctx, s, sheet.Start, rehearse.Options{Seed: r.Seed, Delays: rehearse.Typical})
	switch {
	case errors.Is(err, rehearse.ErrStuck):
		return fmt.Errorf("%w.\nA step has no place or a load no room. See what fits with: shedbell check", err)
	case err != nil:
		return fmt.Errorf("the rehearsal was stopped: %w", err)
	}
	rep := rehearsal{res: res, sheet: sheet, seed: r.Seed}
	if r.JSON {
		return writeJSON(a.env.Stdout, rep.object())
	}
	_, err = a.env.Stdout.Write([]byte(rep.text()))
	return err
}
