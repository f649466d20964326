// Package folder writes a plan as the files that people and other programs
// take from it: plan.json, CSV tables, crew sheets and tags.
package folder

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/sheet"
)

// Write writes a plan into dir: all of it or nothing. The files are made in a
// folder beside it and moved when every one is whole; files of an older plan
// are replaced one by one, and sheets of machines that have no jobs any more
// go. Other files in dir are left alone. The error is fault.Violations where
// dir cannot be a folder.
func Write(dir string, p *plan.Plan, b plant.Book) (err error) {
	dir = filepath.Clean(dir)
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return fault.Violations{{Field: "out", Value: dir, Rule: "is a file, not a folder", Remedy: "name a folder"}}
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return err
	}
	made, err := os.MkdirTemp(filepath.Dir(dir), ".flutewright-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(made)) }()
	if err := fill(made, p, b); err != nil {
		return fmt.Errorf("write plan: %w", err)
	}
	return move(made, dir)
}

// fill writes every file of the plan into a folder of its own.
func fill(made string, p *plan.Plan, b plant.Book) error {
	raw, err := JSON(p)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(made, "plan.json"), raw, 0o644); err != nil {
		return err
	}
	tables, err := tablesOf(p, b)
	if err != nil {
		return err
	}
	for _, t := range tables {
		if err := os.WriteFile(filepath.Join(made, t.name+".csv"), t.bytes(), 0o644); err != nil {
			return err
		}
	}
	return sheet.WriteAll(b, p, func(name string) (io.WriteCloser, error) {
		return os.Create(filepath.Join(made, filepath.Base(name)))
	})
}

// JSON returns plan.json.
func JSON(p *plan.Plan) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	err := enc.Encode(p)
	return b.Bytes(), err
}

// move puts the finished files in their place.
func move(made, dir string) error {
	if err := os.Chmod(made, 0o755); err != nil {
		return err
	}
	if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) {
		return os.Rename(made, dir)
	}
	files, err := os.ReadDir(made)
	if err != nil {
		return err
	}
	fresh := map[string]bool{}
	for _, f := range files {
		fresh[f.Name()] = true
		if err := os.Rename(filepath.Join(made, f.Name()), filepath.Join(dir, f.Name())); err != nil {
			return err
		}
	}
	old, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, f := range old {
		if strings.HasSuffix(f.Name(), "-jobs.pdf") && !fresh[f.Name()] {
			if err := os.Remove(filepath.Join(dir, f.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}
