package say

import (
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// listed is a package as the go command lists it.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
	Standard                bool
}

// listPackages lists those of the program and what they import, built.
func listPackages(t *testing.T) (ours []listed, exports map[string]string) {
	t.Helper()
	cmd := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles,Standard", "./...")
	cmd.Dir = filepath.Join("..", "..")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	exports = map[string]string{}
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return ours, exports
		} else if err != nil {
			t.Fatal(err)
		}
		exports[p.ImportPath] = p.Export
		if p.ImportPath == "shedbell" || strings.HasPrefix(p.ImportPath, "shedbell/") {
			ours = append(ours, p)
		}
	}
}

// TestEveryCallFitsItsText goes through the program for what is said with a text that
// stands in the code: New, Say and whatever else takes an identifier and its values
// (id string, args ...any). The text has to be there, take as many values as are given,
// and take them by verbs that suit their types. What package fmt would write of the
// rest, %!d(string=pea), would be seen by a person in a shed.
func TestEveryCallFitsItsText(t *testing.T) {
	ours, exports := listPackages(t)
	fset := token.NewFileSet()
	lookup := func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) }
	imp := importer.ForCompiler(fset, "gc", lookup)
	calls := 0
	for _, p := range ours {
		var files []*ast.File
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
		if _, err := (&types.Config{Importer: imp}).Check(p.ImportPath, fset, files, info); err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			ast.Inspect(f, func(n ast.Node) bool {
				if call, ok := n.(*ast.CallExpr); ok {
					if wrong := misfit(info, call); wrong != "" {
						t.Errorf("%s: %s", fset.Position(call.Pos()), wrong)
					}
					if _, _, ok := saidBy(info, call); ok {
						calls++
					}
				}
				return true
			})
		}
	}
	if calls < 1000 {
		t.Errorf("only %d calls were found that say something", calls)
	}
}

// saidBy is the identifier that a call says, and the values that it gives.
func saidBy(info *types.Info, call *ast.CallExpr) (id string, args []ast.Expr, ok bool) {
	sig, isFunc := info.Types[call.Fun].Type.(*types.Signature)
	if !isFunc || !sig.Variadic() || call.Ellipsis.IsValid() {
		return "", nil, false
	}
	last := sig.Params().Len() - 1
	if last < 1 || sig.Params().At(last-1).Name() != "id" || sig.Params().At(last).Type().String() != "[]any" || len(call.Args) < last {
		return "", nil, false
	}
	text := info.Types[call.Args[last-1]].Value
	if text == nil || text.Kind() != constant.String {
		return "", nil, false
	}
	return constant.StringVal(text), call.Args[last:], true
}

// misfit says what is wrong with a call, if it says something.
func misfit(info *types.Info, call *ast.CallExpr) string {
	id, args, ok := saidBy(info, call)
	if !ok || id == "" || id == joinID {
		return ""
	}
	text, ok := English().texts[id]
	if !ok {
		return id + " is in no language"
	}
	if text.other.takes != len(args) && !(len(text.forms) > 0 && text.other.takes < len(args)) {
		return fmt.Sprintf("%s takes %d values and gets %d: %q", id, text.other.takes, len(args), text.other.format)
	}
	for _, form := range text.all() {
		next := 1
		for _, m := range verb.FindAllStringSubmatch(form, -1) {
			if m[3] == "%" {
				continue
			}
			if m[2] != "" {
				next = int(m[2][0] - '0')
			}
			if v := info.Types[args[next-1]].Type; !suits(v, m[3]) {
				return fmt.Sprintf("%s writes a %s with %%%s: %q", id, v, m[3], form)
			}
			next++
		}
	}
	return ""
}

// suits says whether package fmt has the verb for the type, as far as that is known
// before the program runs. What people have a word for suits all.
func suits(v types.Type, verb string) bool {
	if types.IsInterface(v) || verb == "v" {
		return true
	}
	for _, method := range []string{"Says", "Error", "String"} {
		if m, _, _ := types.LookupFieldOrMethod(v, true, nil, method); m != nil {
			return true
		}
	}
	basic, ok := v.Underlying().(*types.Basic)
	if !ok {
		return true
	}
	switch {
	case basic.Info()&types.IsInteger != 0:
		return strings.Contains("dcxXU", verb)
	case basic.Info()&types.IsFloat != 0:
		return strings.Contains("eEfFgG", verb)
	case basic.Info()&types.IsString != 0:
		return strings.Contains("sqxX", verb)
	}
	return true
}
