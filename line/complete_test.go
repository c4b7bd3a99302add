package line

import (
	"encoding"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/recipes"
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

// What a record counts is a number; what it chooses from a list stands there by name.
func TestRecordsKeepKindsByName(t *testing.T) {
	counts := []reflect.Type{reflect.TypeFor[time.Duration](), reflect.TypeFor[recipes.Score]()}
	seen := map[reflect.Type]bool{}
	names := reflect.TypeFor[encoding.TextMarshaler]()
	var walk func(where string, typ reflect.Type)
	walk = func(where string, typ reflect.Type) {
		if seen[typ] || typ.PkgPath() == "time" && typ.Kind() == reflect.Struct {
			return
		}
		seen[typ] = true
		switch typ.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Array:
			walk(where, typ.Elem())
		case reflect.Struct:
			for i := range typ.NumField() {
				walk(typ.String()+"."+typ.Field(i).Name, typ.Field(i).Type)
			}
		default:
			if integer := typ.ConvertibleTo(reflect.TypeFor[int]()) && typ.Kind() != reflect.Float64; integer && typ.PkgPath() != "" &&
				!slices.Contains(counts, typ) && !typ.Implements(names) {
				t.Errorf("%s writes %s as a number", where, typ)
			}
		}
	}
	for _, typ := range eventTypes {
		walk("", typ)
	}
	walk("", reflect.TypeFor[State]())
}
