package serve

import "io"

// maxTyped is how many bytes may come at once. Nobody types that many; they are not
// taken for keys, as some of them would act.
const maxTyped = 512

// input passes on what a person types.
type input struct {
	from io.Reader
	drop func(why string)
	buf  [maxTyped + 1]byte
	left []byte
}

// Read gives keys. It ends at the first piece that no person has typed.
func (i *input) Read(p []byte) (int, error) {
	if len(i.left) == 0 {
		n, err := i.from.Read(i.buf[:])
		if n > maxTyped {
			i.drop("it sent more at once than a person types")
			return 0, io.EOF
		}
		if n == 0 {
			return 0, err
		}
		i.left = i.buf[:n]
	}
	n := copy(p, i.left)
	i.left = i.left[n:]
	return n, nil
}
