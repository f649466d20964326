// Package arch holds the import rule of the house.
package arch

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const module = "github.com/flutewright/flutewright/"

// floors from the ground up. A package imports lower floors only; adapters never import each other.
var floors = map[string]int{
	"base": 0, "solve": 1, "plant": 2, "plan": 3, "draw": 2, "sheet": 4,
	"desk": 5, "web": 6, "exchange": 6, "floor": 6, "store": 6, "work": 6, "cmd": 7,
}

// stages of the plant floor in the order of the material's way; a stage imports earlier ones only.
var stages = map[string]int{
	"box": 1, "board": 2, "order": 3, "corrugator": 4, "roll": 5, "convert": 6, "load": 7, "tag": 8, "quality": 9, "trace": 10, "": 11, "demo": 12,
}

// noInputOutput are packages that the pure floors must not see.
var noInputOutput = []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "os/exec"}

func TestImportRule(t *testing.T) {
	root := "../.."
	seen := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && d.Name() != ".." || d.Name() == "node_modules" || d.Name() == "tools") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		seen++
		rel, _ := filepath.Rel(root, path)
		for _, f := range faultsOf(t, filepath.ToSlash(rel)) {
			t.Error(f)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen < 10 {
		t.Fatalf("only %d files looked at: the walk is broken", seen)
	}
}

func faultsOf(t *testing.T, rel string) []string {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("../..", rel))
	if err != nil {
		t.Fatal(err)
	}
	f, err := parser.ParseFile(token.NewFileSet(), rel, src, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	from := strings.Split(filepath.ToSlash(filepath.Dir(rel)), "/")
	floor, known := floors[from[0]]
	if !known {
		if from[0] == "internal" || from[0] == "." {
			return nil
		}
		return []string{rel + ": stands on no floor"}
	}
	var out []string
	for _, im := range f.Imports {
		p := strings.Trim(im.Path.Value, `"`)
		if !strings.HasPrefix(p, module) {
			for _, bad := range noInputOutput {
				if floor <= 4 && p == bad {
					out = append(out, rel+": a pure floor imports "+p)
				}
			}
			continue
		}
		to := strings.Split(strings.TrimPrefix(p, module), "/")
		switch target := floors[to[0]]; {
		case to[0] == "internal":
			out = append(out, rel+" imports "+p+": internal is for tests")
		case to[0] == from[0]:
			if from[0] == "plant" && stages[stageOf(to)] >= stages[stageOf(from)] && stageOf(to) != stageOf(from) {
				out = append(out, rel+" imports "+p+": a later stage of the plant floor")
			}
		case target >= floor:
			out = append(out, rel+" imports "+p+": not a lower floor")
		case from[0] == "plan" && to[0] == "draw":
			out = append(out, rel+" imports "+p+": plans draw nothing")
		}
	}
	return out
}

func stageOf(parts []string) string {
	if len(parts) < 2 {
		return ""
	}
	return parts[1]
}
