package command

import "runtime/debug"

// release is the version of a package, set where it is built.
var release string

// version is the package's or the module's version, or the commit that the program was built from.
func version() string {
	if release != "" {
		return release
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	commit, changed := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && len(s.Value) >= 12:
			commit = s.Value[:12]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = ", changed since"
		}
	}
	switch v := info.Main.Version; {
	case v != "" && v != "(devel)":
		return v
	case commit != "":
		return "commit " + commit + changed
	}
	return "built from source"
}
