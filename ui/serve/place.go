package serve

import (
	"shedbell/line/live"
	"shedbell/line/say"
	"shedbell/ui/app"
	"shedbell/ui/screen"
)

// Place is a seat at the line as the app's frame uses it.
type Place struct {
	*live.Seat
	Leaves bool // leaving the screen ends nothing but itself
}

var _ app.Shared = Place{}

// Watching tells who has the line, if not this screen.
func (p Place) Watching() screen.Watching {
	name, since, mine := p.Holder()
	switch {
	case mine:
		return screen.Watching{}
	case name == "":
		return screen.Watching{Says: say.Speech{say.New("seat.watching-only"), say.New("seat.nobody-line")}, Urgent: p.MayAct(), Offer: p.MayAct()}
	}
	return screen.Watching{Says: say.Speech{say.New("seat.watching-only"), say.New("seat.line-went", name, say.Time(since))}, Offer: p.MayAct()}
}

// Take makes this screen the one that acts.
func (p Place) Take() (app.Line, say.Speech, error) {
	if err := p.Seat.Take(); err != nil {
		return nil, nil, err
	}
	return p, nil, nil
}

// Guest says whether the line goes on when this screen is left.
func (p Place) Guest() bool { return p.Leaves }
