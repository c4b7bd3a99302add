package say

import (
	"cmp"
	_ "embed"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

//go:embed old.toml
var oldFile []byte

// oldTexts are the identifiers of the texts that older records keep in English, by the
// formats that made them.
var oldTexts = sync.OnceValue(func() map[string]string {
	var out map[string]string
	if err := toml.Unmarshal(oldFile, &out); err != nil {
		panic(err) // embedded, and a test reads it
	}
	return out
})

// byOld is the text that an old format has become.
func (c *catalogue) byOld(english string) (f format, ok bool) {
	id, form, _ := strings.Cut(oldTexts()[english], "#")
	t, ok := c.texts[id]
	if f, ok := t.forms[forms[form]]; ok && form != "" {
		return f, true
	}
	return t.other, ok
}

// echo finds an English format in a text, and says it in another language.
type echo struct {
	pattern *regexp.Regexp
	letters int    // of the format that are not filled in
	say     string // filled in with the strings that the pattern finds
}

// fromEnglish is what records of earlier versions keep in English, a refusal or the
// name of an action, in this language. What is not known stays as it is.
func (s *Speaker) fromEnglish(english string) string {
	if s.catalogue == English().catalogue {
		return english
	}
	s.learn.Do(s.learnEchoes)
	var out []string
	for english != "" {
		found := english
		i := slices.IndexFunc(s.echoes, func(e echo) bool { return e.pattern.MatchString(english) })
		if i >= 0 {
			m := s.echoes[i].pattern.FindStringSubmatch(english)
			values := make([]any, len(m)-1)
			for n, value := range m[1:] {
				values[n] = s.oldWord(value)
			}
			found, english = fmt.Sprintf(s.echoes[i].say, values...), english[len(m[0]):]
		} else {
			english = ""
		}
		out = append(out, found)
	}
	return strings.Join(out, " ")
}

// oldWord is a word that stood in an old text.
func (s *Speaker) oldWord(english string) string {
	if f, ok := s.byOld(english); ok {
		return f.format
	}
	return s.name(english)
}

// learnEchoes prepares a pattern for each of the old texts. Those with the
// most letters of their own come first: they say the most.
func (c *catalogue) learnEchoes() {
	learn := func(english string, t format) {
		if own := verb.ReplaceAllString(english, ""); strings.TrimSpace(own) != "" {
			c.echoes = append(c.echoes, echo{pattern: regexp.MustCompile(asPattern(english)), letters: len(own), say: asStrings(t.format)})
		}
	}
	for english := range oldTexts() {
		if f, ok := c.byOld(english); ok {
			learn(english, f)
		}
	}
	slices.SortFunc(c.echoes, func(a, b echo) int {
		return cmp.Or(cmp.Compare(b.letters, a.letters), cmp.Compare(a.pattern.String(), b.pattern.String()))
	})
}

// asPattern finds what a format has made: a sentence, which ends within a text, or a
// name, which is all of it. A value holds no end of a sentence.
func asPattern(format string) string {
	out, at := "^", 0
	for _, m := range verb.FindAllStringIndex(format, -1) {
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
	return verb.ReplaceAllStringFunc(format, func(verb string) string {
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
