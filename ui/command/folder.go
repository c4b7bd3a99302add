package command

import (
	"path/filepath"

	"shedbell/line/say"
)

// dataFolder is where the journal and a person's own files are: what was asked
// for, else SHEDBELL_DATA, else a folder in the user's data home. A relative
// XDG_DATA_HOME is ignored, as the XDG Base Directory Specification 0.8 asks.
func dataFolder(asked, goos string, getenv func(string) string) (string, error) {
	for _, dir := range []string{asked, getenv("SHEDBELL_DATA")} {
		if dir != "" {
			return dir, nil
		}
	}
	if xdg := getenv("XDG_DATA_HOME"); filepath.IsAbs(xdg) {
		return filepath.Join(xdg, "shedbell"), nil
	}
	home := getenv("HOME")
	if goos == "windows" {
		if local := getenv("LOCALAPPDATA"); local != "" {
			return filepath.Join(local, "shedbell"), nil
		}
		home = getenv("USERPROFILE")
	}
	switch {
	case home == "":
		return "", say.Error("cmd.no-home")
	case goos == "windows":
		return filepath.Join(home, "AppData", "Local", "shedbell"), nil
	case goos == "darwin":
		return filepath.Join(home, "Library", "Application Support", "shedbell"), nil
	}
	return filepath.Join(home, ".local", "share", "shedbell"), nil
}
