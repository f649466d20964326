// Package docs holds the repository's documents to the code: the Go names of
// the glossary exist, and links between documents lead somewhere.
package docs

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const root = "../.."

// names collects package names, and the exported names of their declarations, methods and fields: "box.Sheet.Chop".
func names(t *testing.T) map[string]bool {
	t.Helper()
	found := map[string]bool{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != "..":
			return filepath.SkipDir
		case !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		collect(found, f)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func collect(found map[string]bool, f *ast.File) {
	pkg := f.Name.Name
	found[pkg] = true
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			name := pkg + "."
			if d.Recv != nil && len(d.Recv.List) == 1 {
				of := d.Recv.List[0].Type
				if star, ok := of.(*ast.StarExpr); ok {
					of = star.X
				}
				if id, ok := of.(*ast.Ident); ok {
					name += id.Name + "."
				}
			}
			found[name+d.Name.Name] = true
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.ValueSpec:
					for _, id := range s.Names {
						found[pkg+"."+id.Name] = true
					}
				case *ast.TypeSpec:
					found[pkg+"."+s.Name.Name] = true
					fields(found, pkg+"."+s.Name.Name, s.Type)
				}
			}
		}
	}
}

func fields(found map[string]bool, of string, typ ast.Expr) {
	st, ok := typ.(*ast.StructType)
	if !ok {
		return
	}
	for _, field := range st.Fields.List {
		for _, id := range field.Names {
			found[of+"."+id.Name] = true
		}
	}
}

var quoted = regexp.MustCompile("`([^`]+)`")

func TestGlossaryNamesExist(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root, "GLOSSARY.md"))
	if err != nil {
		t.Fatal(err)
	}
	found := names(t)
	rows := 0
	for _, line := range strings.Split(string(text), "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if len(cells) != 3 || cells[0] == "term" {
			continue
		}
		rows++
		for _, m := range quoted.FindAllStringSubmatch(cells[2], -1) {
			if !found[m[1]] {
				t.Errorf("%s: %s is not in the code", cells[0], m[1])
			}
		}
	}
	if rows < 80 {
		t.Errorf("only %d rows were read", rows)
	}
}

var link = regexp.MustCompile(`\]\(([^)#:]+)\)`)

func TestLinksLeadSomewhere(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(root, "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, pattern := range []string{"docs/*.md", "docs/*/*.md"} {
		more, err := filepath.Glob(filepath.Join(root, pattern))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, more...)
	}
	if len(files) < 8 {
		t.Fatalf("only %d documents", len(files))
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if _, err := os.Stat(filepath.Join(filepath.Dir(f), m[1])); err != nil {
				t.Errorf("%s: %s leads nowhere", f, m[1])
			}
		}
	}
}
