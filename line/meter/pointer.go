package meter

import (
	"strings"

	"shedbell/line/say"
)

// Pointer is a JSON Pointer, RFC 6901: the names and numbers on the way to a value.
// The empty one is the whole document, and so a payload that is a plain number.
type Pointer []string

// ErrPointer says that a text is no pointer.
var ErrPointer = say.Error("meter.no-pointer")

// ParsePointer reads a pointer.
func ParsePointer(text string) (Pointer, error) {
	if text == "" {
		return nil, nil
	}
	if text[0] != '/' {
		return nil, ErrPointer
	}
	p := Pointer(strings.Split(text[1:], "/"))
	for i, token := range p {
		rest := strings.ReplaceAll(strings.ReplaceAll(token, "~0", ""), "~1", "")
		if strings.Contains(rest, "~") {
			return nil, ErrPointer
		}
		p[i] = strings.ReplaceAll(strings.ReplaceAll(token, "~1", "/"), "~0", "~") // in this order: "~01" is "~1"
	}
	return p, nil
}

// String writes the pointer as the line file has it.
func (p Pointer) String() string {
	var b strings.Builder
	for _, token := range p {
		b.WriteString("/" + strings.ReplaceAll(strings.ReplaceAll(token, "~", "~0"), "/", "~1"))
	}
	return b.String()
}

// find follows the pointer into a document as encoding/json has it.
func (p Pointer) find(doc any) (any, bool) {
	for _, token := range p {
		switch at := doc.(type) {
		case map[string]any:
			next, ok := at[token]
			if !ok {
				return nil, false
			}
			doc = next
		case []any:
			i, ok := arrayIndex(token, len(at))
			if !ok {
				return nil, false
			}
			doc = at[i]
		default:
			return nil, false
		}
	}
	return doc, true
}

// arrayIndex reads a number as RFC 6901 has it: digits without a zero in front. "-", the
// element after the last one, is never there.
func arrayIndex(token string, n int) (int, bool) {
	if token == "" || len(token) > 9 || token[0] == '0' && len(token) > 1 {
		return 0, false
	}
	i := 0
	for _, c := range token {
		if c < '0' || c > '9' {
			return 0, false
		}
		i = 10*i + int(c-'0')
	}
	return i, i < n
}
