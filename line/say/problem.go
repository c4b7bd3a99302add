package say

// Problem is an error that says a sentence.
type Problem struct {
	says  Sentence
	cause error
}

// Error makes an error of a text and its values. One that is an error itself is what it
// wraps.
func Error(id string, args ...any) error {
	p := &Problem{}
	for _, a := range args {
		if err, ok := a.(error); ok {
			p.cause = err
		}
	}
	p.says = New(id, args...)
	return p
}

// Error is the sentence in English.
func (p *Problem) Error() string { return p.says.String() }

// Says is the sentence with its values apart.
func (p *Problem) Says() Sentence { return p.says }

// Unwrap is the error within.
func (p *Problem) Unwrap() error { return p.cause }
