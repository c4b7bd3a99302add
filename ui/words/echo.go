package words

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// toldTable has what other packages tell or keep as English text: the names of
// actions that can be taken back, why a day cannot end, what a limit is for. As in the
// table of sentences, the keys are the English formats.
const toldTable = "told."

// fromEnglish says that the key of a text is the English text.
func fromEnglish(key string) (english string, ok bool) {
	for _, table := range []string{sentenceTable, toldTable} {
		if english, ok := strings.CutPrefix(key, table); ok {
			return english, true
		}
	}
	return "", false
}

// echo finds an English format in a text, and says it in another language.
type echo struct {
	pattern *regexp.Regexp
	letters int    // of the format that are not filled in
	say     string // filled in with the strings that the pattern finds
}

// Echo is a text that a record keeps in English, a refusal or the name of an action,
// in this language. What is not known stays in English.
func (t *Tongue) Echo(text string) string {
	t.learn.Do(t.learnEchoes)
	var out []string
	for text != "" {
		found := text
		i := slices.IndexFunc(t.echoes, func(e echo) bool { return e.pattern.MatchString(text) })
		if i >= 0 {
			m := t.echoes[i].pattern.FindStringSubmatch(text)
			values := make([]any, len(m)-1)
			for n, value := range m[1:] {
				values[n] = t.word(value)
			}
			found, text = fmt.Sprintf(t.echoes[i].say, values...), text[len(m[0]):]
		} else {
			text = ""
		}
		out = append(out, found)
	}
	return strings.Join(out, " ")
}

// Told is a text without values that another package has in English, such as the head
// of a column, in this language.
func (t *Tongue) Told(english string) string {
	if text, ok := t.texts[toldTable+english]; ok {
		return text
	}
	return t.word(english)
}

// learnEchoes prepares a pattern for each text whose key is English. Those with the
// most letters of their own come first: they say the most.
func (t *Tongue) learnEchoes() {
	for key, text := range t.texts {
		english, ok := fromEnglish(key)
		own := formatVerb.ReplaceAllString(english, "")
		if !ok || strings.TrimSpace(own) == "" {
			continue
		}
		t.echoes = append(t.echoes, echo{pattern: regexp.MustCompile(asPattern(english)), letters: len(own), say: asStrings(text)})
	}
	slices.SortFunc(t.echoes, func(a, b echo) int {
		return cmp.Or(cmp.Compare(b.letters, a.letters), cmp.Compare(a.pattern.String(), b.pattern.String()))
	})
}

// formatVerb is a verb of package fmt, or a percent sign.
var formatVerb = regexp.MustCompile(`%(?:\[\d+\])?[-+# 0-9.]*[a-zA-Z%]`)

// asPattern finds what a format has made: a sentence, which ends within a text, or a
// name, which is all of it. A value holds no end of a sentence.
func asPattern(format string) string {
	out, at := "^", 0
	for _, m := range formatVerb.FindAllStringIndex(format, -1) {
		value := `((?:[^.:]|[.:][^ ])+?)`
		if format[m[1]-1] == '%' {
			value = "%"
		}
		out += regexp.QuoteMeta(format[at:m[0]]) + value
		at = m[1]
	}
	out += regexp.QuoteMeta(format[at:])
	if strings.HasSuffix(format, ".") || strings.HasSuffix(format, ":") {
		return out + "(?: |$)"
	}
	return out + "$"
}

// asStrings has a format take strings, whatever it took.
func asStrings(format string) string {
	n := 0
	return formatVerb.ReplaceAllStringFunc(format, func(verb string) string {
		switch {
		case verb[len(verb)-1] == '%':
			return verb
		case verb[1] == '[':
			return verb[:strings.IndexByte(verb, ']')+1] + "s"
		}
		n++
		return fmt.Sprintf("%%[%d]s", n)
	})
}
