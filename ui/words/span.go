package words

import "time"

// Span is a length of time as people say it, in its two largest units.
func (t *Tongue) Span(d time.Duration) string {
	d = d.Abs().Round(time.Second)
	const day = 24 * time.Hour
	switch {
	case d < time.Minute:
		return t.Say("span.second", d/time.Second)
	case d < time.Hour:
		return t.two(d, time.Minute, "span.minute", time.Second, "span.second")
	case d < day:
		return t.two(d, time.Hour, "span.hour", time.Minute, "span.minute")
	case d < 1000*day:
		return t.two(d, day, "span.days", time.Hour, "span.hour")
	}
	return t.Say("span.years", d/(365*day))
}

func (t *Tongue) two(d, large time.Duration, name string, small time.Duration, smallName string) string {
	text := t.Say(name, d/large)
	if name == "span.days" {
		text = t.Count(int(d/large), "span.day", name)
	}
	if rest := d % large / small; rest > 0 {
		text += " " + t.Say(smallName, rest)
	}
	return text
}
