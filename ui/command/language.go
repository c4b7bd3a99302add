package command

import (
	"bytes"
	"cmp"
	"runtime"
	"strings"

	"github.com/alecthomas/kong"

	"shedbell/line/say"
	"shedbell/ui/words"
)

// speaker says everything that a command line prints: in the language that it asks for,
// else that of SHEDBELL_LANGUAGE, else as the settings of the data folder have it. It is
// made before the command line is parsed, which may be to print its own help.
func speaker(args []string, env Env) (*words.Speaker, error) {
	dir, _ := dataFolder(given(args, "--data"), runtime.GOOS, env.Getenv)
	liked, _ := LoadPrefs(dir, env.Getenv) // the board says what is wrong with them
	return words.New(cmp.Or(given(args, "--language"), env.Getenv("SHEDBELL_LANGUAGE"), liked.Language), liked.Prefs)
}

// asked is the language that the command line or its environment asks for.
func (a *app) asked() string { return cmp.Or(a.cli.Language, a.env.Getenv("SHEDBELL_LANGUAGE")) }

// given is the value of a flag, wherever it stands.
func given(args []string, flag string) string {
	for i, a := range args {
		if v, ok := strings.CutPrefix(a, flag+"="); ok {
			return v
		}
		if a == flag && i+1 < len(args) {
			return args[i+1]
		}
	}
	return ""
}

// cautioned are the commands whose help ends with the caution.
var cautioned = map[string]bool{"use": true, "use-serve": true, "use-check": true, "use-amps": true, "use-setup": true}

// describe gives a command and all below it their help.
func describe(w *words.Speaker, n *kong.Node, table string) {
	text := func(key string) string {
		if id := table + "." + key; w.Has(id) {
			return w.Say(id, strings.Join(say.Languages(), ", "))
		}
		return ""
	}
	n.Help, n.Detail = text("about"), text("more")
	if cautioned[table] {
		n.Detail = strings.TrimSpace(n.Detail + "\n\n" + w.Say("cmd.caution"))
	}
	for _, f := range n.Flags {
		f.Help = text(f.Name)
		if f.PlaceHolder != "" {
			f.PlaceHolder = w.Say("holder." + strings.ToLower(strings.Split(f.PlaceHolder, ":")[0]))
		}
	}
	for _, a := range n.Positional {
		a.Help, a.Name = text(a.Name), w.Say("argument."+a.Name)
		if holder := a.Tag.PlaceHolder; holder != "" {
			a.Tag.PlaceHolder = w.Say("holder." + strings.ToLower(holder))
		}
	}
	for _, c := range n.Children {
		describe(w, c, table+"-"+c.Name)
	}
}

// printHelp is the parser's own help with its heads in the reader's language.
func printHelp(w *words.Speaker) kong.HelpPrinter {
	return func(o kong.HelpOptions, ctx *kong.Context) error {
		out := ctx.Stdout
		defer func() { ctx.Stdout = out }()
		var english bytes.Buffer
		ctx.Stdout = &english
		if err := kong.DefaultHelpPrinter(o, ctx); err != nil {
			return err
		}
		for l := range strings.Lines(english.String()) {
			if _, err := out.Write([]byte(translated(w, l))); err != nil {
				return err
			}
		}
		return nil
	}
}

func translated(w *words.Speaker, l string) string {
	switch l {
	case "Arguments:\n":
		return w.Say("usage.arguments") + "\n"
	case "Flags:\n":
		return w.Say("usage.flags") + "\n"
	case "Commands:\n":
		return w.Say("usage.commands") + "\n"
	}
	if rest, ok := strings.CutPrefix(l, "Usage:"); ok {
		return w.Say("usage.usage") + strings.NewReplacer("<command>", "<"+w.Say("usage.command")+">", "[flags]", "["+w.Say("usage.some-flags")+"]").Replace(rest)
	}
	if rest, ok := strings.CutPrefix(l, `Run "`); ok {
		run, _, _ := strings.Cut(rest, `"`)
		if strings.Contains(run, "<command>") {
			return w.Say("usage.more-of", strings.Replace(run, "<command>", "<"+w.Say("usage.command")+">", 1)) + "\n"
		}
		return w.Say("usage.more", run) + "\n"
	}
	return l
}
