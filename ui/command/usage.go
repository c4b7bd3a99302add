package command

import (
	"errors"
	"io/fs"
	"regexp"
	"strings"

	"github.com/alecthomas/kong"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// usage says what is wrong with a command line and what would be right, and names
// the help of the command that was meant.
func usage(err error) error {
	name, node := "shedbell", (*kong.Node)(nil)
	var parse *kong.ParseError
	if errors.As(err, &parse) && parse.Context != nil {
		if node = parse.Context.Selected(); node != nil && len(parse.Context.Args) > 0 && node.Name != "board" {
			name += " " + node.Path()
		}
	}
	return say.Error("cmd-usage.fault", mended(err.Error(), name), name)
}

// The parser's errors that leave a person without a way out. Its names for kinds of
// values are those of a programmer.
var (
	bareFlag  = regexp.MustCompile(`^(--\S+): expected \S+ value but got "EOL"`)
	flagAsOne = regexp.MustCompile(`^(--\S+): expected \S+ value but got "([^"]*)" \((?:short|long) flag`)
	badTime   = regexp.MustCompile(`^(--\S+): expected duration but got "([^"]*)"`)
	badNumber = regexp.MustCompile(`^(--\S+): expected a (?:valid \d+ bit )?(u?int|float) but got "([^"]*)"`)
	badChoice = regexp.MustCompile(`^\S+ must be one of (\S+) but got "([^"]*)"`)
	noFile    = regexp.MustCompile(`^expected "<(\S+)>"`)
	noCommand = regexp.MustCompile(`^expected one of (".*")$`)
	noSuch    = regexp.MustCompile(`^unknown flag (\S+?)(?:, did you mean (?:one of )?(".*")\?)?$`)
	tooMany   = regexp.MustCompile(`^unexpected argument (\S+?)(?:, did you mean (?:one of )?(".*")\?)?$`)
	noFlag    = regexp.MustCompile(`^missing flags: (.*)$`)
)

// mended is a parser's error in words that say what to give instead.
func mended(text, name string) say.Sentence {
	if m := bareFlag.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.needs-value", m[1])
	}
	if m := flagAsOne.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.looks-like-flag", m[1], m[2])
	}
	if m := badTime.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.no-time", m[1], m[2])
	}
	if m := badNumber.FindStringSubmatch(text); m != nil {
		if m[2] != "float" {
			return say.New("cmd-usage.no-whole", m[1], m[3])
		}
		return say.New("cmd-usage.no-number", m[1], m[3])
	}
	if m := badChoice.FindStringSubmatch(text); m != nil {
		all := strings.Split(strings.ReplaceAll(m[1], `"`, ""), ",")
		return say.New("cmd-usage.no-such", m[2], meant(m[2], all), strings.Join(all, ", "))
	}
	if m := noFile.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.which", name, strings.ToUpper(m[1]))
	}
	if m := noCommand.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.what-to-do", name, strings.ReplaceAll(m[1], `"`, ""))
	}
	if m := noSuch.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.no-flag", m[1], perhaps(m[2]))
	}
	if m := tooMany.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.too-many", m[1], perhaps(m[2]))
	}
	if m := noFlag.FindStringSubmatch(text); m != nil {
		return say.New("cmd-usage.missing", m[1])
	}
	return say.Of(text)
}

// perhaps asks whether one of the parser's guesses was meant.
func perhaps(quoted string) say.Sentence {
	if quoted == "" {
		return say.Of(".")
	}
	return say.New("cmd-usage.meant", either(strings.Split(strings.Trim(quoted, `"`), `", "`)))
}

// meant asks whether the name nearest to what was given was meant.
func meant(given string, all []string) say.Sentence {
	best, least := "", max(2, len(given)/3)+1 // two letters that changed places are two edits
	for _, name := range all {
		if e := strictfile.Edits(strings.ToLower(given), name); e < least {
			best, least = name, e
		}
	}
	if best == "" {
		return say.Of(".")
	}
	return say.New("cmd-usage.meant", best)
}

// unread is why a file that a command line names cannot be read.
func unread(path string, err error) error {
	var why *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return say.Error("cmd.unread-none", path)
	case errors.Is(err, errFolder):
		return say.Error("cmd.unread-folder", path)
	case errors.As(err, &why):
		return say.Error("cmd.unread", path, why.Err)
	}
	return say.Error("cmd.unread", path, err)
}
