package form

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// unit is how a number is typed: kept = (typed - zero) * scale.
type unit struct {
	name        string
	scale, zero float64
	places      int // decimal places of what is shown before anybody has typed
}

// The avoirdupois pound is 453.59237 g by definition (NIST Handbook 44, appendix C).
const (
	gramsPerPound = 453.59237
	ouncesInPound = 16
)

// units are those that the parts of a row's number are typed in, the largest first.
func (f *Form) units(r *Row) []unit {
	switch {
	case r.Kind == Weight && f.us:
		return []unit{{"lb", gramsPerPound, 0, 0}, {"oz", gramsPerPound / ouncesInPound, 0, 1}}
	case r.Kind == Weight:
		return []unit{{"g", 1, 0, 1}}
	case r.Kind == Temperature && f.us:
		return []unit{{"°F", 5.0 / 9, 32, 1}}
	case r.Kind == Temperature:
		return []unit{{"°C", 1, 0, 1}}
	case r.Kind == Percent:
		return []unit{{"%", 1, 0, 2}}
	case r.Kind == PPM:
		return []unit{{"ppm", 1, 0, 1}}
	case r.Kind == Ago:
		return []unit{{f.words.Say("form.minutes-ago"), 60, 0, 0}}
	case r.Kind == Minutes:
		return []unit{{f.words.Say("form.minutes"), 60, 0, 1}}
	case len(r.Units) > 1:
		return []unit{{"", 1, 0, 3}} // beside it
	}
	return []unit{{f.words.Say(r.Unit), 1, 0, 3}}
}

// number is what a row says: what was typed, else what Enter takes. fault says what
// is wrong with what was typed.
func (r *row) number(f *Form) (v Value, fault string) {
	if !r.Kind.isNumber() {
		return Value{}, ""
	}
	if r.empty() {
		return r.preset(f), ""
	}
	if !r.changed() {
		return r.Filled, "" // kept as it was, not as it is rounded
	}
	n, fault := r.parse(f)
	if fault == "" && r.Max > r.Min && (n < r.Min-tiny || n > r.Max+tiny) {
		fault = f.between(&r.Row)
	}
	return Value{known: fault == "", number: n}, fault
}

// between says what a number may be. One unit is said once.
func (f *Form) between(r *Row) string {
	from, to := f.show(r, r.Min, math.Ceil), f.show(r, r.Max, math.Floor)
	if units := f.units(r); len(units) == 1 && r.Kind < Duration {
		from = strings.TrimSuffix(from, " "+units[0].name)
	}
	return f.words.Say("form.between", from, to)
}

// tiny is lost when a bound goes from one unit to another and back.
const tiny = 1e-9

func (r *row) parse(f *Form) (sum float64, fault string) {
	if r.Kind == Duration || r.Kind == TimeOfDay {
		return r.parseTime(f)
	}
	for i, u := range f.units(&r.Row) {
		text := r.parts[i].text()
		if text == "" {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		switch {
		case err != nil:
			return 0, f.words.Say("form.no-number", text)
		case r.Kind == Whole && v != math.Trunc(v):
			return 0, f.words.Say("form.whole", text)
		}
		sum += (v - u.zero) * u.scale
	}
	return sum, ""
}

// parseTime reads minutes and seconds, or hours and minutes, which may be typed
// without what stands between them.
func (r *row) parseTime(f *Form) (seconds float64, fault string) {
	key, most, unit := "form.time", 24, time.Hour
	if r.Kind == Duration {
		key, most, unit = "form.duration", 1000, time.Minute
	}
	large, small, cut := strings.Cut(r.parts[0].text(), ":")
	if n := len(large); !cut && r.Kind == TimeOfDay && n > 2 {
		large, small, cut = large[:n-2], large[n-2:], true
	}
	a, errA := strconv.Atoi(large)
	b, errB := 0, error(nil)
	if cut {
		b, errB = strconv.Atoi(small)
	}
	if errA != nil || errB != nil || a >= most || b >= 60 || cut && len(small) != 2 {
		return 0, f.words.Say(key)
	}
	return (time.Duration(a)*unit + time.Duration(b)*unit/60).Seconds(), ""
}

// show writes a number in the unit that the row asks in.
func (f *Form) show(r *Row, v float64, round func(float64) float64) string {
	switch r.Kind {
	case Duration:
		return fmt.Sprintf("%d:%02d", int(v)/60, int(v)%60) + " " + f.words.Say("form.minutes")
	case TimeOfDay:
		layout := "15:04"
		if f.half {
			layout = "3:04 pm"
		}
		return time.Time{}.Add(time.Duration(v) * time.Second).Format(layout)
	}
	var out []string
	units := f.units(r)
	for i, text := range f.split(r, v, round) {
		if text != "" {
			out = append(out, strings.TrimSpace(text+" "+units[i].name))
		}
	}
	return strings.Join(out, " ")
}

// split writes a number as it would be typed into the parts of the row.
func (f *Form) split(r *Row, v float64, round func(float64) float64) []string {
	switch r.Kind {
	case Duration:
		return []string{fmt.Sprintf("%d:%02d", int(v)/60, int(v)%60)}
	case TimeOfDay:
		return []string{fmt.Sprintf("%02d:%02d", int(v)/3600, int(v)/60%60)}
	}
	units := f.units(r)
	last := units[len(units)-1]
	power := math.Pow10(last.places)
	scaled := (v/last.scale + last.zero) * power
	if near := math.Round(scaled); math.Abs(scaled-near) < tiny {
		scaled = near
	}
	rest := round(scaled) / power
	out := make([]string, len(units))
	if len(units) > 1 {
		whole := math.Floor(rest / ouncesInPound)
		rest = nearly(rest - whole*ouncesInPound)
		if whole > 0 {
			out[0] = plain(whole)
		}
		if rest == 0 && whole > 0 {
			return out
		}
	}
	out[len(units)-1] = plain(rest)
	return out
}

// nearly keeps as many decimal places as can be typed, and none of what a change of
// units adds.
func nearly(v float64) float64 { return math.Round(v*1e9) / 1e9 }

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
