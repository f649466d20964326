package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/store"
)

func command(t *testing.T, args ...string) (code int, out, complaint string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(&env{t.Context(), strings.NewReader(""), &o, &e, nil}, args)
	return code, o.String(), e.String()
}

// hand: a folder that is copied, restored and copied again gives the same book, and the restored desk opens.
func TestCopyAndRestoreFromTheShell(t *testing.T) {
	dir := t.TempDir()
	here, file, there := filepath.Join(dir, "here"), filepath.Join(dir, "all.gz"), filepath.Join(dir, "there")
	d, err := openDesk(&env{t.Context(), nil, &bytes.Buffer{}, &bytes.Buffer{}, nil}, here, func() time.Time { return demo.Now })
	if err != nil {
		t.Fatal(err)
	}
	if err := d.SetUp(t.Context(), demo.Book(), "Ana"); err != nil {
		t.Fatal(err)
	}
	if code, _, complaint := command(t, "copy", "--data", here, "--out", file); code != exitInput || !strings.Contains(complaint, "lock") && !strings.Contains(complaint, "process") {
		t.Errorf("copying a folder that is open: %d %s", code, complaint)
	}
	d.close()
	code, out, complaint := command(t, "copy", "--data", here, "--out", file)
	if code != 0 || !strings.Contains(out, "entries of the book") {
		t.Fatalf("copy: %d %s %s", code, out, complaint)
	}
	if code, _, complaint := command(t, "restore", file, "--data", there); code != 0 {
		t.Fatalf("restore: %d %s", code, complaint)
	}
	s, err := store.Open(t.Context(), there)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if _, err := s.Entry(t.Context(), desk.KindLine, "J1001"); err != nil {
		t.Errorf("restored book: %v", err)
	}
	if code, _, complaint := command(t, "restore", file, "--data", there); code != exitInput || !strings.Contains(complaint, "not empty") {
		t.Errorf("restoring over data: %d %s", code, complaint)
	}
	if left, _ := os.ReadDir(dir); len(left) != 3 {
		t.Errorf("files left beside: %v", left)
	}
}
