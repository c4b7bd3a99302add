package command

import (
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"strings"

	"github.com/alecthomas/kong"

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
	return fmt.Errorf("%s\nSee what there is with: %s --help", mended(err.Error(), name), name)
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
	noFlag    = regexp.MustCompile(`^missing flags: (.*)$`)
)

// mended is a parser's error in words that say what to give instead.
func mended(text, name string) string {
	if m := bareFlag.FindStringSubmatch(text); m != nil {
		return m[1] + " needs a value after it"
	}
	if m := flagAsOne.FindStringSubmatch(text); m != nil {
		return fmt.Sprintf("%s needs a value after it; %s looks like a flag", m[1], m[2])
	}
	if m := badTime.FindStringSubmatch(text); m != nil {
		return fmt.Sprintf("%s %q is no time. Give a number with its unit, such as 2s, 10m or 1h30m", m[1], m[2])
	}
	if m := badNumber.FindStringSubmatch(text); m != nil {
		kind := "number"
		if m[2] != "float" {
			kind = "whole number"
		}
		return fmt.Sprintf("%s %q is no %s", m[1], m[3], kind)
	}
	if m := badChoice.FindStringSubmatch(text); m != nil {
		all := strings.Split(strings.ReplaceAll(m[1], `"`, ""), ",")
		return fmt.Sprintf("there is no %q%s There is %s", m[2], meant(m[2], all), strings.Join(all, ", "))
	}
	if m := noFile.FindStringSubmatch(text); m != nil {
		return fmt.Sprintf("say which, like: %s %s", name, strings.ToUpper(m[1]))
	}
	if m := noCommand.FindStringSubmatch(text); m != nil {
		return fmt.Sprintf("say what %s is to do: %s", name, strings.ReplaceAll(m[1], `"`, ""))
	}
	if m := noFlag.FindStringSubmatch(text); m != nil {
		return m[1] + " is missing"
	}
	return text
}

// meant asks whether the name nearest to what was given was meant.
func meant(given string, all []string) string {
	best, least := "", max(2, len(given)/3)+1 // two letters that changed places are two edits
	for _, name := range all {
		if e := strictfile.Edits(strings.ToLower(given), name); e < least {
			best, least = name, e
		}
	}
	if best == "" {
		return "."
	}
	return fmt.Sprintf(`, did you mean "%s"?`, best)
}

// unread is why a file that a command line names cannot be read.
func unread(path string, err error) error {
	var why *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no file %s. Give the name of one that is there", path)
	case errors.Is(err, errFolder):
		return fmt.Errorf("%s is a folder. Give the name of the file in it", path)
	case errors.As(err, &why):
		return fmt.Errorf("%s cannot be read: %s", path, why.Err)
	}
	return fmt.Errorf("%s cannot be read: %w", path, err)
}
