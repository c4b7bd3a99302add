package words

import (
	"strings"
	"time"
)

// Date writes an instant as time.Format does, with the short names of days and
// months in this language.
func (t *Tongue) Date(at time.Time, layout string) string {
	name := func(english string) string { return t.Say("date." + strings.ToLower(english[:3])) }
	return at.Format(strings.NewReplacer("Mon", name(at.Weekday().String()), "Jan", name(at.Month().String())).Replace(layout))
}
