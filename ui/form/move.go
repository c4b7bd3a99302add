package form

import "slices"

// take goes on to the next line if the row's answer can be taken, and sends after the
// last.
func (f *Form) take() Outcome {
	r := f.rows[f.at]
	if r.Kind == Send {
		return f.send()
	}
	if r.fault = r.wrong(f); r.fault != "" {
		return None
	}
	lines := f.lines()
	at, _ := f.line(lines)
	if at == len(lines)-1 {
		return f.send()
	}
	f.at, f.part = lines[at+1][0], 0
	f.enter()
	return None
}

// send goes to the first row that is not in order, if there is one.
func (f *Form) send() Outcome {
	for i, r := range f.rows {
		if !r.there(f) {
			continue
		}
		if text := r.wrong(f); text != "" {
			f.at, f.part = i, 0
			f.enter()
			r.fault = text
			return None
		}
	}
	f.shown = false
	return Sent
}

// walk goes to the next field or the one before, round and round.
func (f *Form) walk(by int) {
	if next := f.part + by; next >= 0 && next < len(f.rows[f.at].parts) {
		f.part = next
		f.enter()
		return
	}
	from := f.at
	for range f.rows {
		f.at = (f.at + by + len(f.rows)) % len(f.rows)
		if f.rows[f.at].there(f) {
			break
		}
	}
	if f.at == from && len(f.rows[f.at].parts) < 2 {
		f.told = f.words.Say("form.only-field")
	}
	if f.part = 0; by < 0 {
		f.part = max(len(f.rows[f.at].parts)-1, 0)
	}
	f.enter()
}

// lines lists the rows of each line.
func (f *Form) lines() (out [][]int) {
	for i, r := range f.rows {
		switch {
		case !r.there(f):
		case r.Beside && len(out) > 0:
			out[len(out)-1] = append(out[len(out)-1], i)
		default:
			out = append(out, []int{i})
		}
	}
	return out
}

// line is the number of the line that is typed into, and the place in it.
func (f *Form) line(lines [][]int) (line, col int) {
	for i := range lines {
		if col := slices.Index(lines[i], f.at); col >= 0 {
			return i, col
		}
	}
	return 0, 0
}

// step goes to the next line or the one before, in the same column where there is
// one.
func (f *Form) step(by int) {
	lines := f.lines()
	at, col := f.line(lines)
	next := lines[(at+by+len(lines))%len(lines)]
	f.at, f.part = next[min(col, len(next)-1)], 0
	f.enter()
}

// enter marks what stands in the part as a whole.
func (f *Form) enter() {
	if len(f.rows) == 0 {
		return
	}
	if p := f.now(); p != nil {
		p.marked, p.digits = p.text() != "" && !p.chooses(), ""
		p.in.CursorEnd()
	}
}
