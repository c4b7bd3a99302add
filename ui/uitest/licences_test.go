package uitest_test

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var updateLicences = flag.Bool("update-licences", false, "write the table of licences again")

const licenceTable = "../../testdata/licences.tsv"

// builtFor are the machines that the program is built for.
var builtFor = []string{"linux/amd64", "linux/arm64", "linux/arm", "windows/amd64", "darwin/arm64"}

// marks are what a licence is known by: all of the words are in its text. The first
// that fits counts. The texts are those of https://spdx.org/licenses/.
var marks = []struct {
	licence string
	words   []string
}{
	{"Apache-2.0", []string{"Apache License", "Version 2.0"}},
	{"MPL-2.0", []string{"Mozilla Public License", "2.0"}},
	{"GPL or LGPL", []string{"GENERAL PUBLIC LICENSE"}},
	{"MIT", []string{"Permission is hereby granted, free of charge, to any person obtaining a copy", "without restriction"}},
	{"BSD-3-Clause", []string{"Redistribution and use in source and binary forms", "endorse or promote products"}},
	{"BSD-2-Clause", []string{"Redistribution and use in source and binary forms"}},
	{"ISC", []string{"Permission to use, copy, modify, and", "distribute this software for any purpose with or without fee"}},
}

// permitted are the licences that a program under the MIT licence may be linked with.
var permitted = []string{"Apache-2.0", "MPL-2.0", "MIT", "BSD-3-Clause", "BSD-2-Clause", "ISC"}

// licenceOf reads a module's licence file.
func licenceOf(dir string) string {
	for _, name := range []string{"LICENSE", "LICENSE.md", "LICENSE.txt", "LICENCE", "COPYING", "license", "License"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			continue
		}
		text := strings.Join(strings.Fields(string(data)), " ")
	next:
		for _, m := range marks {
			for _, w := range m.words {
				if !strings.Contains(text, w) {
					continue next
				}
			}
			return m.licence
		}
		return "unknown"
	}
	if data, err := os.ReadFile(filepath.Join(dir, "README.md")); err == nil && strings.Contains(string(data), "## License\n\nMIT\n") {
		return "MIT" // a small module that says it there
	}
	return "none"
}

// linked lists the modules that a build for a machine holds, with their licences.
func linked(machine string) (map[string]string, error) {
	system, arch, _ := strings.Cut(machine, "/")
	cmd := exec.Command("go", "list", "-deps", "-json=Module", "shedbell")
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+system, "GOARCH="+arch)
	out, err := cmd.Output()
	if err != nil {
		return nil, err
	}
	found := map[string]string{}
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var pkg struct {
			Module *struct {
				Path, Version, Dir string
				Main               bool
			}
		}
		err := dec.Decode(&pkg)
		if errors.Is(err, io.EOF) {
			return found, nil
		}
		if err != nil {
			return nil, err
		}
		if m := pkg.Module; m != nil && !m.Main {
			found[m.Path+"\t"+m.Version] = licenceOf(m.Dir)
		}
	}
}

// Every module that is linked into the program, for any of the machines, is in the
// table with the licence that its own files have, and no other module is.
func TestLicencesAreListed(t *testing.T) {
	all := map[string]string{}
	whole := true
	for _, machine := range builtFor {
		found, err := linked(machine)
		if err != nil { // without a network, what only other machines need may not be here
			t.Logf("not looked at for %s: %v", machine, err)
			whole = false
			continue
		}
		for m, licence := range found {
			all[m] = licence
			if !slices.Contains(permitted, licence) {
				t.Errorf("%s: licence %s", strings.Replace(m, "\t", " ", 1), licence)
			}
		}
	}
	if len(all) < 20 {
		t.Fatalf("only %d modules were found", len(all))
	}
	rows := []string{"module\tversion\tlicence"}
	for m, licence := range all {
		rows = append(rows, m+"\t"+licence)
	}
	slices.Sort(rows[1:])
	if *updateLicences {
		if err := os.WriteFile(licenceTable, []byte(strings.Join(rows, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(licenceTable)
	if err != nil {
		t.Fatal(err)
	}
	kept := strings.Split(strings.TrimSpace(string(data)), "\n")
	for _, row := range rows {
		if !slices.Contains(kept, row) {
			t.Errorf("%s lacks: %s (go test ./ui/uitest -update-licences)", filepath.Base(licenceTable), row)
		}
	}
	for _, row := range kept {
		if whole && !slices.Contains(rows, row) {
			t.Errorf("%s lists what is not linked: %s", filepath.Base(licenceTable), row)
		}
	}
}

func TestLicencesAreKnown(t *testing.T) {
	dir := t.TempDir()
	for _, tc := range []struct{ text, want string }{
		{"", "unknown"},
		{"GNU GENERAL PUBLIC LICENSE\nVersion 3", "GPL or LGPL"},
		{"Redistribution and use in source\nand binary forms, with or without", "BSD-2-Clause"},
		{"All rights reserved.", "unknown"},
	} {
		if err := os.WriteFile(filepath.Join(dir, "LICENSE"), []byte(tc.text), 0o644); err != nil {
			t.Fatal(err)
		}
		if got := licenceOf(dir); got != tc.want {
			t.Errorf("%q: %s, want %s", tc.text, got, tc.want)
		}
	}
	if got := licenceOf(filepath.Join(dir, "nothing")); got != "none" {
		t.Error(fmt.Sprint("no file: ", got))
	}
}
