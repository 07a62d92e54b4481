package rule

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Where a file and a function stop.
const (
	longestFile     = 400
	longestFunction = 60
)

// source is one file written by hand, tests left out.
type source struct {
	pkg, name string
	lines     int
	set       *token.FileSet
	file      *ast.File
}

func (s *source) at(n ast.Node) string {
	return fmt.Sprintf("%s/%s:%d", s.pkg, s.name, s.set.Position(n.Pos()).Line)
}

func (s *source) length(n ast.Node) int {
	return s.set.Position(n.End()).Line - s.set.Position(n.Pos()).Line + 1
}

// sources are the files of the module that people write.
func sources(t *testing.T) []*source {
	t.Helper()
	var all []*source
	for _, p := range packages(t) {
		for _, name := range p.GoFiles {
			text, err := os.ReadFile(filepath.Join(p.Dir, name))
			require.NoError(t, err)
			s := &source{pkg: strings.TrimPrefix(p.ImportPath, Module+"/"), name: name, set: token.NewFileSet()}
			s.file, err = parser.ParseFile(s.set, name, text, parser.ParseComments)
			require.NoError(t, err)
			s.lines = strings.Count(string(text), "\n")
			if !ast.IsGenerated(s.file) {
				all = append(all, s)
			}
		}
	}
	require.Greater(t, len(all), 50, "the source was not seen")
	return all
}

func TestFilesAndFunctionsStopInTime(t *testing.T) {
	for _, s := range sources(t) {
		if s.lines > longestFile {
			t.Errorf("%s/%s has %d lines, at most %d", s.pkg, s.name, s.lines, longestFile)
		}
		for _, d := range s.file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && s.length(f) > longestFunction {
				t.Errorf("%s: %s has %d lines, at most %d", s.at(f), f.Name.Name, s.length(f), longestFunction)
			}
		}
	}
}

// forbidden calls by where they are allowed. The clock goes in as a function, and
// what the environment says is read once, so that tests can choose both.
func forbidden() map[string][]string {
	clock := []string{"cmd/halfhour", "internal/testing/..."}
	surroundings := []string{"cmd/halfhour", "internal/config", "internal/testing/...", "internal/localpg"} // localpg hands its own on to PostgreSQL
	return map[string][]string{
		"time.Now": clock, "time.Since": clock, "time.Until": clock,
		"os.Getenv": surroundings, "os.LookupEnv": surroundings, "os.Environ": surroundings,
	}
}

func TestNobodyLooksAtTheClockOrTheEnvironment(t *testing.T) {
	calls := forbidden()
	for _, s := range sources(t) {
		ast.Inspect(s.file, func(n ast.Node) bool {
			selector, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			from, ok := selector.X.(*ast.Ident)
			if !ok || from.Obj != nil {
				return true
			}
			name := from.Name + "." + selector.Sel.Name
			if homes, known := calls[name]; known && !at(s.pkg, homes) {
				t.Errorf("%s: %s belongs to %s", s.at(n), name, strings.Join(homes, ", "))
			}
			return true
		})
	}
}

func at(pkg string, homes []string) bool {
	for _, home := range homes {
		if below(pkg, home) {
			return true
		}
	}
	return false
}

func TestNothingHappensBeforeMain(t *testing.T) {
	for _, s := range sources(t) {
		for _, d := range s.file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil && f.Name.Name == "init" {
				t.Errorf("%s: no init work", s.at(f))
			}
		}
	}
}

// Names of a package that hold something are written once, where they are made:
// what changes is handed in.
func TestNoVariableOfAPackageIsChanged(t *testing.T) {
	held := map[string]map[string]bool{} // by package
	for _, s := range sources(t) {
		if held[s.pkg] == nil {
			held[s.pkg] = map[string]bool{}
		}
		for _, d := range s.file.Decls {
			if group, ok := d.(*ast.GenDecl); ok && group.Tok == token.VAR {
				for _, spec := range group.Specs {
					for _, n := range spec.(*ast.ValueSpec).Names {
						held[s.pkg][n.Name] = n.Name != "_"
					}
				}
			}
		}
	}
	for _, s := range sources(t) {
		ast.Inspect(s.file, func(n ast.Node) bool {
			for _, left := range written(n) {
				if name := root(left); name != nil && held[s.pkg][name.Name] && (name.Obj == nil || name.Obj.Pos() == token.NoPos || isTop(s, name)) {
					t.Errorf("%s: %s belongs to the package and is changed", s.at(n), name.Name)
				}
			}
			return true
		})
	}
}

// written are what a statement gives a new value.
func written(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.AssignStmt:
		if n.Tok != token.DEFINE {
			return n.Lhs
		}
	case *ast.IncDecStmt:
		return []ast.Expr{n.X}
	}
	return nil
}

// root is the name at the left end of a[i].b.c.
func root(e ast.Expr) *ast.Ident {
	for {
		switch at := e.(type) {
		case *ast.Ident:
			return at
		case *ast.IndexExpr:
			e = at.X
		case *ast.SelectorExpr:
			e = at.X
		case *ast.StarExpr:
			e = at.X
		default:
			return nil
		}
	}
}

// isTop says whether the name is that of the package, not of something inside a
// function of this file that is called the same.
func isTop(s *source, name *ast.Ident) bool {
	for _, d := range s.file.Decls {
		if f, ok := d.(*ast.FuncDecl); ok && f.Pos() <= name.Obj.Pos() && name.Obj.Pos() < f.End() {
			return false
		}
	}
	return true
}

func TestEveryPackageAndExportedNameIsExplained(t *testing.T) {
	explained := map[string]bool{}
	for _, s := range sources(t) {
		explained[s.pkg] = explained[s.pkg] || s.file.Doc != nil
		for _, d := range s.file.Decls {
			for _, name := range silent(d) {
				t.Errorf("%s: %s has no comment", s.at(d), name)
			}
		}
	}
	for pkg, yes := range explained {
		if !yes {
			t.Errorf("%s: no comment says what the package is", pkg)
		}
	}
}

// silent lists the exported names of a declaration that nobody explained. One
// comment over a group of constants, variables or types speaks for the group.
func silent(d ast.Decl) (names []string) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Doc == nil && d.Name.IsExported() && exportedReceiver(d) {
			return []string{d.Name.Name}
		}
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			switch spec := spec.(type) {
			case *ast.TypeSpec:
				if spec.Name.IsExported() && spec.Doc == nil && spec.Comment == nil && d.Doc == nil {
					names = append(names, spec.Name.Name)
				}
			case *ast.ValueSpec:
				for _, n := range spec.Names {
					if n.IsExported() && spec.Doc == nil && spec.Comment == nil && d.Doc == nil {
						names = append(names, n.Name)
					}
				}
			}
		}
	}
	return names
}

func exportedReceiver(f *ast.FuncDecl) bool {
	if f.Recv == nil {
		return true
	}
	on := f.Recv.List[0].Type
	if star, ok := on.(*ast.StarExpr); ok {
		on = star.X
	}
	name, ok := on.(*ast.Ident)
	return !ok || name.IsExported()
}
