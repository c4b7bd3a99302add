package line

import (
	"slices"
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// ReadAir says what the air in the shed is like. It holds for the day.
type ReadAir struct {
	TempC     float64
	RHPercent float64
}

// UseAir lets the dry times of a crop follow today's air, or stops that. Without a
// crop it is about all of them. A step that runs keeps its time.
type UseAir struct {
	Crop string
	On   bool
}

// AirRead is a reading of the air.
type AirRead struct{ Air recipes.Air }

// AirUsed says for which crops the dry time follows the air, or does no longer.
type AirUsed struct {
	Crops []string
	On    bool
}

// AirReading is what somebody read off a thermometer and a hygrometer.
type AirReading struct {
	Air recipes.Air
	At  time.Time // zero: nobody has read them
	By  string
}

// AirNow is the air of the day; false when nobody has read it today. A reading
// made while the open day lasts holds past midnight.
func (s *State) AirNow(now time.Time) (recipes.Air, bool) {
	at := s.Air.At
	if at.IsZero() {
		return recipes.Air{}, false
	}
	ok := at.In(now.Location()).Format(time.DateOnly) == now.Format(time.DateOnly) ||
		s.Sheet != nil && !at.Before(s.Opened)
	if !ok {
		return recipes.Air{}, false
	}
	return s.Air.Air, true
}

// FollowsAir says whether a crop's dry time follows today's air.
func (s *State) FollowsAir(crop string, now time.Time) bool {
	_, ok := s.AirNow(now)
	return ok && slices.Contains(s.UseAir, crop)
}

// DryFan is the fan setting that a crop's dry step would run at now: the recipe's
// own, the one at which the bank runs for other greens already, or off while its
// breaker is open. It is empty where the station has no fans.
func (s *State) DryFan(r *recipes.Recipe) string {
	racks := s.Site.StationsOf(Dry)
	if len(racks) == 0 {
		return ""
	}
	st := &s.Site.Stations[racks[0]]
	if st.Load == NoLoad {
		return ""
	}
	if s.Power.Open(s.Site.Panel.Loads[st.Load].Circuit) {
		return recipes.FanOff
	}
	d := draft{s: s}
	setting, no := d.chooseSetting(st, Nowhere, r, "")
	if no != nil {
		return ""
	}
	return s.Site.Panel.Loads[st.Load].Settings[setting].Name
}

func (c ReadAir) decide(d *draft) *Refusal {
	a := recipes.Air{TempC: c.TempC, RHPercent: c.RHPercent}
	if err := a.Validate(); err != nil {
		return refuse(RuleValue, "refusal.because", err)
	}
	d.undo = say.New("undo.air")
	d.emit(AirRead{Air: a})
	return nil
}

func (c UseAir) decide(d *draft) *Refusal {
	if _, ok := d.s.AirNow(d.now); !ok && c.On {
		return refuse(RuleValue, "line.no-air")
	}
	e := AirUsed{On: c.On}
	for _, crop := range d.s.Book.Crops() {
		if (c.Crop == "" || c.Crop == crop) && slices.Contains(d.s.UseAir, crop) != c.On {
			e.Crops = append(e.Crops, crop)
		}
	}
	if _, known := d.s.Recipe(c.Crop); c.Crop != "" && !known {
		return refuse(RuleUnknown, "line.no-recipe", say.Crop(c.Crop))
	}
	if len(e.Crops) == 0 {
		return refuse(RuleNothing, "line.so-already")
	}
	d.undo = say.New("undo.use-air")
	d.emit(e)
	return nil
}

// Whoever let dry times follow the air did so for
// that day.
func (e AirRead) apply(s *State, r Record) {
	if _, ok := s.AirNow(r.At); !ok {
		s.UseAir = nil
	}
	s.Air = AirReading{Air: e.Air, At: r.At, By: r.By}
}

func (e AirUsed) apply(s *State, _ Record) {
	s.UseAir = slices.DeleteFunc(slices.Clone(s.UseAir), func(crop string) bool { return slices.Contains(e.Crops, crop) })
	if e.On {
		s.UseAir = append(s.UseAir, e.Crops...)
	}
}

// DryTime is the countdown of a dry step at a fan setting: the recipe's time at
// that setting, or today's where the crop follows the air.
func (s *State) DryTime(r *recipes.Recipe, fan string, now time.Time) time.Duration {
	if s.FollowsAir(r.Crop, now) {
		if t, err := r.DryToday(s.Air.Air, fan); err == nil {
			return t.Today
		}
	}
	return r.DryAt(fan)
}
