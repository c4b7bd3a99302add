package command

import (
	"strings"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/recipes/strictfile"
)

// loadSetting is a load at a setting, as "fans:low" names it.
type loadSetting struct{ load, setting int }

// parseLoad reads a load's name with or without a setting. A name is written
// whole, or as one of its parts between dashes where no other load has it.
// Without a setting the hungriest one counts, as the careful answer.
func parseLoad(p *power.Panel, word string) (loadSetting, error) {
	name, setting := strings.TrimSpace(word), ""
	load, found := p.LoadByName(name)
	if cut := strings.LastIndex(name, ":"); !found && cut >= 0 {
		name, setting = name[:cut], strings.TrimSpace(name[cut+1:])
		if setting == "" {
			return loadSetting{}, say.Error("cmd-load.no-setting", word)
		}
	}
	if !found {
		var err error
		if load, err = findLoad(p, strings.TrimSpace(name)); err != nil {
			return loadSetting{}, err
		}
	}
	l := &p.Loads[load]
	k := hungriest(l)
	if setting != "" {
		var ok bool
		if k, ok = l.SettingByName(setting); !ok {
			var known []string
			for _, s := range l.Settings {
				known = append(known, s.Name)
			}
			return loadSetting{}, say.Error("cmd-load.unknown-setting", l.Name, setting, say.Names(known))
		}
	}
	return loadSetting{load, k}, nil
}

func hungriest(l *power.Load) int {
	worst := 0
	for i := range l.Settings {
		if l.Settings[i].AmpsA > l.Settings[worst].AmpsA {
			worst = i
		}
	}
	return worst
}

func findLoad(p *power.Panel, name string) (int, error) {
	if i, ok := p.LoadByName(name); ok {
		return i, nil
	}
	var hits []int
	for i := range p.Loads {
		if strings.EqualFold(p.Loads[i].Name, name) {
			return i, nil
		}
		for _, part := range strings.FieldsFunc(p.Loads[i].Name, isDash) {
			if strings.EqualFold(part, name) {
				hits = append(hits, i)
				break
			}
		}
	}
	switch len(hits) {
	case 0:
		return 0, unknownLoad(p, name)
	case 1:
		return hits[0], nil
	}
	return 0, say.Error("cmd-load.many", name, either(loadNames(p, hits)))
}

func isDash(r rune) bool { return r == '-' || r == '_' || r == ' ' }

// unknownLoad lists the loads that there are, the one that was most likely meant
// first of all.
func unknownLoad(p *power.Panel, name string) error {
	best, least := "", max(1, len(name)/3)+1
	all := make([]string, len(p.Loads))
	for i := range p.Loads {
		all[i] = p.Loads[i].Name
		for _, known := range append(strings.FieldsFunc(all[i], isDash), all[i]) {
			if e := strictfile.Edits(strings.ToLower(name), strings.ToLower(known)); e < least {
				best, least = all[i], e
			}
		}
	}
	if best != "" {
		return say.Error("cmd-load.unknown-meant", name, best, strings.Join(all, ", "))
	}
	return say.Error("cmd-load.unknown", name, strings.Join(all, ", "))
}

func loadNames(p *power.Panel, loads []int) []string {
	out := make([]string, len(loads))
	for i, l := range loads {
		out[i] = p.Loads[l].Name
	}
	return out
}
