package setup

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"shedbell/ui/words"
)

// talk is one course of questions with what has come of it.
type talk struct {
	ask    func(question) answer
	words  *words.Speaker
	part   string // what the questions are about at present
	s      *shed
	path   string
	result *result
}

// result is how a talk ended.
type result struct {
	write bool
	data  string // the new file, when write is set
}

// say is one of the set-up's own texts.
func (t *talk) say(key string, args ...any) string { return t.words.Say("setup-"+key, args...) }

// about begins a part of the talk.
func (t *talk) about(part string) { t.part = t.say("part." + part) }

// question begins one with its texts.
func (t *talk) question(key string, args ...any) question {
	q := question{key: key, part: t.part, title: t.say(key+".title", args...)}
	if about := key + ".about"; t.words.Has("setup-" + about) {
		q.about = t.say(about)
	}
	return q
}

// choose asks for one of a question's own choices, or before them of those that it
// has already.
func (t *talk) choose(q question, pick int, choices ...string) int {
	for _, c := range choices {
		q.choices = append(q.choices, t.say(q.key+"."+c))
	}
	q.pick = pick
	return t.ask(q).pick
}

// among asks for one of a list, or after them for one of a question's own choices.
func (t *talk) among(q question, list []string, pick int, choices ...string) int {
	q.choices = append([]string(nil), list...)
	return t.choose(q, pick, choices...)
}

func (t *talk) yes(q question, preset bool) bool {
	q.choices = []string{t.say("answer.yes"), t.say("answer.no")}
	return t.choose(q, 1-bit(preset)) == 0
}

// text asks for what is typed.
func (t *talk) text(q question, value string, check func(string) error) string {
	q.value, q.check = value, check
	return strings.TrimSpace(t.ask(q).text)
}

// refuse is why an answer is not taken.
func (t *talk) refuse(key string, args ...any) error { return errors.New(t.say("no."+key, args...)) }

// bounds are what a number may be, with the key of its unit.
type bounds struct {
	from, to float64
	unit     string
}

// number asks for a number within bounds; one that the question's own check
// refuses is not taken either.
func (t *talk) number(q question, preset float64, b bounds) float64 {
	q.digits, q.unit = true, t.say("unit."+b.unit)
	value := ""
	if preset != 0 {
		value = number(preset)
	}
	further := q.check
	v, _ := strconv.ParseFloat(t.text(q, value, func(s string) error {
		v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil || !(v >= b.from && v <= b.to) {
			return t.refuse("range", b.from, b.to, t.say("unit."+b.unit))
		}
		if further != nil {
			return further(s)
		}
		return nil
	}), 64)
	return v
}

// whole asks for a whole number; one that is not set yet may be nought.
func (t *talk) whole(q question, preset int, b bounds) int {
	q.whole = true
	q.check = func(s string) error {
		if _, err := strconv.Atoi(strings.TrimSpace(s)); err != nil {
			return t.refuse("whole", b.from, b.to)
		}
		return nil
	}
	return int(t.number(q, float64(preset), b))
}

// seconds asks for a time, typed in whole seconds.
func (t *talk) seconds(q question, preset time.Duration, from, to float64) time.Duration {
	return time.Duration(t.whole(q, int(preset/time.Second), bounds{from, to, "seconds"})) * time.Second
}

// longest is as many characters as the line file takes for a name.
const longest = 40

// mostItems is where a list is ended for good.
const mostItems = 40

// name asks for a name that is nobody else's.
func (t *talk) name(q question, value string, others []string) string {
	return t.text(q, value, func(s string) error { return t.checkName(s, others) })
}

func (t *talk) checkName(s string, others []string) error {
	s = strings.TrimSpace(s)
	switch {
	case s == "":
		return t.refuse("name")
	case len([]rune(s)) > longest:
		return t.refuse("long", longest)
	case strings.ContainsAny(s, ",:"):
		return t.refuse("letters")
	}
	for _, o := range others {
		if strings.EqualFold(o, s) {
			return t.refuse("twice", o)
		}
	}
	return nil
}

// oneOf lets one of a list be chosen to change it, a new one, which has the index
// after the last, or one to take away. The list is named by the question's key.
func (t *talk) oneOf(key string, list []string, removable bool) (i int, remove bool) {
	var more []string
	if len(list) < mostItems {
		more = append(more, "new")
	}
	if removable {
		more = append(more, "remove")
	}
	i = t.among(t.question(key), list, 0, more...)
	if i < len(list) {
		return i, false
	}
	return len(list), more[i-len(list)] == "remove"
}

// goes asks which one of a list is to be taken away; -1: none after all.
func (t *talk) goes(key string, list []string, tells func(i int) []note) int {
	q := t.question(key)
	q.tells = func(a answer) []note {
		if a.pick >= len(list) {
			return nil
		}
		return tells(a.pick)
	}
	if i := t.among(q, list, len(list), "none"); i < len(list) {
		return i
	}
	return -1
}
