package words

import "strings"

// Masked is English in the letters of another alphabet, for tests: what is still in
// Latin letters on a screen did not come from the language files.
func Masked() *Tongue {
	t := &Tongue{Name: "masked", texts: map[string]string{}}
	for key, text := range English().texts {
		t.texts[key] = mask(text)
	}
	for _, name := range Tongues() {
		if other, err := NewTongue(name); err == nil {
			for key := range other.texts { // sentences whose key is the English one
				if english, ok := fromEnglish(key); ok {
					t.texts[key] = mask(english)
				}
			}
		}
	}
	return t
}

// mask puts Armenian letters, which are as wide as Latin ones and have capitals too.
func mask(text string) string {
	out, at := "", 0
	for _, m := range formatVerb.FindAllStringIndex(text, -1) {
		out += maskLetters(text[at:m[0]]) + text[m[0]:m[1]]
		at = m[1]
	}
	return out + maskLetters(text[at:])
}

func maskLetters(text string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z':
			return 'ա' + c - 'a'
		case c >= 'A' && c <= 'Z':
			return 'Ա' + c - 'A'
		}
		return c
	}, text)
}
