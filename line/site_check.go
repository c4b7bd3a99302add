package line

import (
	"fmt"
	"math"
	"slices"
)

// Check says what makes a site unusable as a line: an index that points nowhere,
// or a station that holds nothing. The line file's own checks are finer and give
// the place in the file.
func (s *Site) Check() error {
	for i := range s.Panel.Loads {
		l := &s.Panel.Loads[i]
		if l.Circuit < 0 || l.Circuit >= len(s.Panel.Circuits) {
			return fmt.Errorf("load %q is on no circuit", l.Name)
		}
		if len(l.Settings) == 0 {
			return fmt.Errorf("load %q has no setting", l.Name)
		}
		for _, st := range l.Settings {
			if !(st.AmpsA >= 0) || math.IsInf(st.AmpsA, 0) {
				return fmt.Errorf("load %q draws %g A", l.Name, st.AmpsA)
			}
		}
	}
	for i := range s.Panel.Circuits {
		if c := &s.Panel.Circuits[i]; !(c.RatingA > 0) || math.IsInf(c.RatingA, 0) {
			return fmt.Errorf("circuit %q is rated %g A", c.Name, c.RatingA)
		}
	}
	for i := range s.Stations {
		if err := s.checkStation(&s.Stations[i]); err != nil {
			return err
		}
	}
	return nil
}

func (s *Site) checkStation(st *Station) error {
	isLoad := func(load int) bool { return load == NoLoad || load >= 0 && load < len(s.Panel.Loads) }
	switch {
	case st.Kind >= kindCount:
		return fmt.Errorf("station %q is of no known kind", st.Name)
	case st.Slots < 1 || st.SlotTrays < 1:
		return fmt.Errorf("station %q holds nothing", st.Name)
	case !isLoad(st.Load) || !isLoad(st.DrainLoad):
		return fmt.Errorf("station %q needs a load that the line does not have", st.Name)
	case st.HandsTime < 0 || st.PerTray < 0 || st.Walk < 0 || st.DrainTime < 0 || st.WaterBatches < 0:
		return fmt.Errorf("station %q has a negative value", st.Name)
	case st.Contact < 0 || st.Contact > MaxCountdown || st.DrainTime > MaxCountdown:
		return fmt.Errorf("station %q takes longer than 24 hours", st.Name)
	}
	if st.Load != NoLoad {
		if _, ok := s.Panel.Loads[st.Load].SettingByName(st.Setting); !ok {
			return fmt.Errorf("station %q needs a setting %q that its load does not have", st.Name, st.Setting)
		}
	}
	return nil
}

// clone gives the site slices of its own, so that a caller who goes on with his
// cannot change the line under its journal.
func (s *Site) clone() Site {
	c := *s
	c.Panel.Feeders = slices.Clone(s.Panel.Feeders)
	c.Panel.Circuits = slices.Clone(s.Panel.Circuits)
	c.Panel.Loads = slices.Clone(s.Panel.Loads)
	for i := range c.Panel.Loads {
		c.Panel.Loads[i].Settings = slices.Clone(c.Panel.Loads[i].Settings)
	}
	c.Stations = slices.Clone(s.Stations)
	c.Crew = slices.Clone(s.Crew)
	c.Limits.List = slices.Clone(s.Limits.List)
	return c
}

func (d *Sheet) clone() Sheet {
	c := *d
	c.Crew, c.Hours, c.Crops = slices.Clone(d.Crew), slices.Clone(d.Hours), slices.Clone(d.Crops)
	c.Apart, c.Sow = slices.Clone(d.Apart), slices.Clone(d.Sow)
	return c
}
