package words

import (
	"strconv"
	"strings"
	"unicode"

	"github.com/charmbracelet/x/ansi"
)

// CropName is what a crop is called where there is less and less room.
type CropName struct {
	Full  string
	Short string // at most 8 cells
	Code  string // at most 2 cells
}

const (
	shortCells = 8
	codeCells  = 2
)

// CropNames derives short names and codes, each of them unique among the crops.
func CropNames(crops []string) map[string]CropName {
	out := make(map[string]CropName, len(crops))
	shorts, codes := map[string]bool{}, map[string]bool{}
	for _, crop := range crops {
		if _, ok := out[crop]; ok {
			continue
		}
		out[crop] = CropName{Full: crop, Short: free(shortened(crop), shortCells, shorts), Code: codeOf(crop, codes)}
	}
	return out
}

// shortened is a name's first word, without its last vowels as far as it must be.
func shortened(crop string) string {
	if ansi.StringWidth(crop) <= shortCells {
		return crop
	}
	word := []rune(strings.Fields(crop + " -")[0])
	for i := len(word) - 1; i > 0 && ansi.StringWidth(string(word)) > shortCells; i-- {
		if strings.ContainsRune("aeiouáéíóúü", word[i]) {
			word = append(word[:i:i], word[i+1:]...)
		}
	}
	return ansi.Truncate(string(word), shortCells, "")
}

// codeOf is a code: the first letter with the next one that makes it unique.
func codeOf(crop string, taken map[string]bool) string {
	letters := []rune(strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return c
		}
		return -1
	}, crop))
	if len(letters) == 0 {
		letters = []rune("x")
	}
	first := string(unicode.ToUpper(letters[0]))
	for _, next := range letters[1:] {
		if code := first + string(unicode.ToLower(next)); ansi.StringWidth(code) <= codeCells && !taken[code] {
			taken[code] = true
			return code
		}
	}
	return free(first, codeCells, taken)
}

// free is a name that is not taken: with a number at its end where it must be.
func free(name string, cells int, taken map[string]bool) string {
	for n := 2; taken[name]; n++ {
		number := strconv.Itoa(n)
		if len(number) >= cells { // more than ten names of two cells: the number alone
			name = number
			continue
		}
		name = ansi.Truncate(name, cells-len(number), "") + number
	}
	taken[name] = true
	return name
}
