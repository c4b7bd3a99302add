package setup

import "iter"

// question is one thing that is asked. With choices it is answered by one of them,
// else by typing.
type question struct {
	key     string // of its texts, under [setup-KEY]
	part    string // what the questions are about at present
	title   string
	about   string // where to look, and what not to do
	choices []string
	pick    int      // the choice that is offered
	value   string   // what is in the field at first
	digits  bool     // a number is typed
	whole   bool     // without a point
	unit    string   // of the number
	parts   []string // numbers of the same unit, by name: the text has them with / between
	needed  []bool   // which of the parts have to be there; nil: all
	check   func(text string) error
	tells   func(answer) []note // about the answer as it stands
}

// answer is the choice that was made, or what was typed.
type answer struct {
	pick int
	text string
}

// stopped ends a script that nobody answers any more.
type stopped struct{}

// wizard asks the questions of a script one by one. The script is a plain
// function that asks and goes on with the answer. Going back means to play it
// again with all answers but the last, so a script depends on nothing else.
type wizard struct {
	script  func(ask func(question) answer)
	given   []answer
	now     question
	running bool
	next    func() (question, bool)
	stop    func()
	reply   answer
}

func newWizard(script func(ask func(question) answer)) *wizard {
	v := &wizard{script: script}
	v.begin()
	return v
}

func (v *wizard) begin() {
	v.next, v.stop = iter.Pull(v.questions())
	v.now, v.running = v.next()
}

func (v *wizard) questions() iter.Seq[question] {
	return func(yield func(question) bool) {
		defer func() {
			if r := recover(); r != nil && r != any(stopped{}) {
				panic(r)
			}
		}()
		v.script(func(q question) answer {
			if !yield(q) {
				panic(stopped{})
			}
			return v.reply
		})
	}
}

// give answers the question and goes on to the next one.
func (v *wizard) give(a answer) {
	v.given = append(v.given, a)
	v.reply = a
	v.now, v.running = v.next()
}

// back goes to the question before and offers what was answered there; false at the
// first one.
func (v *wizard) back() bool {
	if len(v.given) == 0 {
		return false
	}
	last := len(v.given) - 1
	given, was := v.given[:last], v.given[last]
	v.stop()
	v.given = nil
	v.begin()
	for _, a := range given {
		v.give(a)
	}
	v.now.pick, v.now.value = was.pick, was.text
	return true
}
