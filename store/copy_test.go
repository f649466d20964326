package store

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/trace"
)

// lived is a folder in which everything happened once.
func lived(t *testing.T) *Store {
	t.Helper()
	s := open(t, t.TempDir())
	apply(t, s, change(item("I1", 0, `{"note":"<b> & \"ü\" 004512"}`), item("I2", 0, `{"big":9007199254740993}`)))
	apply(t, s, change(item("I1", 1, `{"note":"second"}`), item("I2", 1, "")))
	for i := range 300 {
		apply(t, s, facts(trace.Fact{ID: ident.Fact(fmt.Sprint("f", i)), At: noon, Kind: trace.RunEnded, Source: "desk", Release: j1, Good: i}))
	}
	h := desk.PlanHead{Started: noon, State: desk.PlanRunning, Who: "Ana"}
	id, err := s.NewPlan(t.Context(), h)
	if err != nil {
		t.Fatal(err)
	}
	h.ID, h.State, h.Ended = id, desk.PlanReady, noon
	if err := s.EndPlan(t.Context(), h, &plan.Plan{Now: noon}); err != nil {
		t.Fatal(err)
	}
	if err := s.Force(t.Context(), desk.InForce{Area: desk.AreaCorrugator, Plan: id, At: noon, Who: "Ana"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Stage(t.Context(), desk.Staged{Name: "orders.csv", At: noon}); err != nil {
		t.Fatal(err)
	}
	return s
}

func copied(t *testing.T, s *Store) []byte {
	t.Helper()
	var b bytes.Buffer
	if _, err := s.Copy(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// law: a copy of what was restored from a copy is the same copy.
func TestRestoredIsTheSame(t *testing.T) {
	first := copied(t, lived(t))
	dir := filepath.Join(t.TempDir(), "elsewhere")
	done, err := Restore(t.Context(), dir, bytes.NewReader(first))
	if err != nil {
		t.Fatal(err)
	}
	if done.Facts != 300 || done.Plans != 1 || done.Entries != 2 {
		t.Errorf("restored %+v", done)
	}
	s := open(t, dir)
	if again := copied(t, s); !bytes.Equal(unzipped(t, again), unzipped(t, first)) {
		t.Error("the copy of the restored data is another")
	}
	apply(t, s, change(item("I1", 2, `{"note":"third"}`)))
	if n, err := s.NewPlan(t.Context(), desk.PlanHead{Started: noon, State: desk.PlanRunning}); err != nil || n != 2 {
		t.Errorf("the next plan is %d, %v; want 2", n, err)
	}
	if _, err := s.write.ExecContext(t.Context(), `UPDATE facts SET body = '{}'`); err == nil {
		t.Error("a restored fact could be changed")
	}
}

func TestBadCopiesAreRefused(t *testing.T) {
	good := unzipped(t, copied(t, lived(t)))
	lines := strings.SplitAfter(string(good), "\n")
	for _, c := range []struct{ source, content, says string }{
		{"hand: no gzip", "hello", "is not a copy"},
		{"hand: another document", zipped(t, "{}\n"), "is not a copy"},
		{"hand: the last line is missing", zipped(t, strings.Join(lines[:len(lines)-2], "")), "cut short"},
		{"hand: a figure was changed", zipped(t, strings.Replace(string(good), `"second\"`, `"secund\"`, 1)), "was changed"},
		{"hand: a row twice", zipped(t, strings.Join(append(lines[:3:3], lines[2:]...), "")), ""},
		{"hand: a newer schema", zipped(t, strings.Replace(string(good), `"schema":`, `"schema":9`, 1)), "newer version"},
	} {
		dir := filepath.Join(t.TempDir(), "new")
		_, err := Restore(t.Context(), dir, strings.NewReader(c.content))
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.source, err)
		}
		left, _ := filepath.Glob(dir + "*")
		if len(left) > 0 {
			t.Errorf("%s: left %v", c.source, left)
		}
	}
}

func TestRestoreKeepsOffAFolderWithData(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "note"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(t.Context(), dir, bytes.NewReader(copied(t, lived(t)))); !errors.Is(err, fault.Refused) {
		t.Errorf("%v", err)
	}
}

func unzipped(t *testing.T, b []byte) []byte {
	t.Helper()
	r, err := gzip.NewReader(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	out, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func zipped(t *testing.T, text string) string {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := io.WriteString(w, text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
