package line

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// The journal cannot keep an event without a name, and a rule of a command that no
// test gives to the line can be broken unseen. The source is asked which there are.
func TestEveryEventHasANameAndEveryCommandATest(t *testing.T) {
	sources, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	methods := map[string][]string{} // receivers by method
	tested := map[string]bool{}
	for _, source := range sources {
		f, err := parser.ParseFile(token.NewFileSet(), source, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		isTest := strings.HasSuffix(source, "_test.go")
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if n.Recv != nil && !isTest {
					if receiver, ok := n.Recv.List[0].Type.(*ast.Ident); ok {
						methods[n.Name.Name] = append(methods[n.Name.Name], receiver.Name)
					}
				}
			case *ast.CompositeLit:
				if typ, ok := n.Type.(*ast.SelectorExpr); ok && isTest {
					tested[typ.Sel.Name] = true
				}
			}
			return true
		})
	}

	var named []string
	for name, typ := range eventTypes {
		named = append(named, typ.Name())
		if EventName(reflect.Zero(typ).Interface().(Event)) != name {
			t.Errorf("%s has two names, one is %q", typ.Name(), name)
		}
	}
	slices.Sort(named)
	slices.Sort(methods["apply"])
	if !slices.Equal(named, methods["apply"]) {
		t.Errorf("events with a name: %v\nevents: %v", named, methods["apply"])
	}
	if len(methods["decide"]) == 0 {
		t.Error("no command found in the source")
	}
	for _, command := range methods["decide"] {
		if !tested[command] {
			t.Errorf("no test of this package gives %s to the line", command)
		}
	}
}
