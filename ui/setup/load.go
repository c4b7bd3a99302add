package setup

import (
	"github.com/pelletier/go-toml/v2"

	"shedbell/line"
)

// load takes over a line file that the strict reader has made a site of; the site
// gives the order of a machine's settings.
func load(data []byte, site *line.Site) (*shed, error) {
	s := &shed{places: map[string][]int{}}
	if err := toml.Unmarshal(data, &s.LineFile); err != nil {
		return nil, err
	}
	for i := range s.Loads {
		m := machine{LoadEntry: s.Loads[i]}
		if m.Settings = nil; len(s.Loads[i].Settings) > 0 {
			for _, st := range site.Panel.Loads[i].Settings {
				m.settings = append(m.settings, setting{st.Name, st.AmpsA})
			}
		}
		s.machines = append(s.machines, m)
	}
	s.Loads = nil
	for _, t := range s.tables()[1:] {
		s.places[t.kind] = append(s.places[t.kind], len(s.places[t.kind]))
	}
	s.from = &origin{doc: parse(string(data)), before: s.clone()}
	return s, nil
}
