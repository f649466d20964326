package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

var noon = time.Date(2031, 3, 3, 12, 0, 0, 0, time.UTC)

func open(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func change(puts ...desk.Put) desk.Change {
	return desk.Change{At: noon, Who: "Ana", Why: "a test", Puts: puts}
}

func item(key string, version int, body string) desk.Put {
	p := desk.Put{Kind: desk.KindItem, Key: key, Version: version}
	if body != "" {
		p.Body = json.RawMessage(body)
	}
	return p
}

func apply(t *testing.T, s *Store, c desk.Change) int {
	t.Helper()
	n, err := s.Apply(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func TestAnEntryLivesThroughVersions(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	apply(t, s, change(item("A", 0, `{"n":1}`)))
	apply(t, s, change(item("A", 1, `{"n":2}`)))
	apply(t, s, change(item("A", 2, "")))
	if _, err := s.Entry(t.Context(), desk.KindItem, "A"); !errors.Is(err, fault.NotFound) {
		t.Fatalf("a removed entry: %v", err)
	}
	apply(t, s, change(item("A", 0, `{"n":4}`)))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}

	s = open(t, dir)
	e, err := s.Entry(t.Context(), desk.KindItem, "A")
	if err != nil || e.Version != 4 || string(e.Body) != `{"n":4}` || e.By != "Ana" || !e.Changed.Equal(noon) {
		t.Fatalf("%+v, %v", e, err)
	}
	edits, err := s.History(t.Context(), desk.KindItem, "A")
	if err != nil || len(edits) != 4 {
		t.Fatalf("%v, %v", edits, err)
	}
	var steps []string
	for _, e := range edits {
		steps = append(steps, fmt.Sprintf("%d:%s→%s", e.Version, e.Before, e.After))
	}
	want := []string{`4:→{"n":4}`, `3:{"n":2}→`, `2:{"n":1}→{"n":2}`, `1:→{"n":1}`}
	if !slices.Equal(steps, want) {
		t.Errorf("history %q, want %q", steps, want)
	}
}

func TestAStaleEditChangesNothingAndSaysBothValues(t *testing.T) {
	s := open(t, t.TempDir())
	apply(t, s, change(item("A", 0, `{"quantity":5000,"due":"Tue"}`)))
	apply(t, s, change(item("A", 1, `{"quantity":6000,"due":"Tue"}`)))
	for name, p := range map[string]desk.Put{
		"on an older version": item("A", 1, `{"quantity":4000,"due":"Tue"}`),
		"as new":              item("A", 0, `{"quantity":4000,"due":"Tue"}`),
		"removal":             item("A", 1, ""),
		"of nothing":          item("B", 3, `{"quantity":1}`),
	} {
		_, err := s.Apply(t.Context(), change(item("NEW", 0, `{}`), p))
		var stale *desk.Stale
		if !errors.Is(err, fault.Conflict) || !errors.As(err, &stale) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if p.Version == 1 && p.Body != nil && (!strings.Contains(err.Error(), "yours 4000, theirs 6000") || strings.Contains(err.Error(), "due")) {
			t.Errorf("%s: says %q", name, err)
		}
		if _, err := s.Entry(t.Context(), desk.KindItem, "NEW"); !errors.Is(err, fault.NotFound) {
			t.Errorf("%s: the rest of the change was taken: %v", name, err)
		}
	}
	if e, _ := s.Entry(t.Context(), desk.KindItem, "A"); e.Version != 2 {
		t.Errorf("version %d", e.Version)
	}
}

var j1 = ident.NewRelease("J1", "", "")

func fact(id string, kind trace.Kind, good int) trace.Fact {
	return trace.Fact{ID: ident.Fact(id), At: noon, Kind: kind, Source: "desk", Release: j1, Good: good}
}

func facts(f ...trace.Fact) desk.Change { return desk.Change{At: noon, Who: "Ana", Facts: f} }

func TestAFactIsTakenOnce(t *testing.T) {
	s := open(t, t.TempDir())
	f := fact("f1", trace.RunEnded, 500)
	if n := apply(t, s, facts(f)); n != 1 {
		t.Fatalf("%d new", n)
	}
	before, _ := s.Revision(t.Context())
	if n := apply(t, s, facts(f, f)); n != 0 {
		t.Errorf("a repeat: %d new", n)
	}
	if after, _ := s.Revision(t.Context()); after != before {
		t.Errorf("a repeat moved the revision from %d to %d", before, after)
	}
	other := f
	other.Good = 501
	if _, err := s.Apply(t.Context(), facts(fact("f2", trace.RunEnded, 1), other)); !errors.Is(err, fault.Reused) {
		t.Errorf("other content: %v", err)
	}
	got, err := s.Facts(t.Context(), desk.FactQuery{})
	if err != nil || len(got) != 1 || got[0] != f {
		t.Errorf("%v, %v", got, err)
	}
}

func TestFactsByQuery(t *testing.T) {
	s := open(t, t.TempDir())
	f := func(id string, minute int, order string, run int, m ident.Machine) trace.Fact {
		return trace.Fact{ID: ident.Fact(id), At: noon.Add(time.Duration(minute) * time.Minute), Kind: trace.RunEnded, Source: "desk",
			Release: ident.NewRelease(order, "", ""), Plan: 7, Run: run, Machine: m}
	}
	c1 := trace.Fact{ID: "c1", At: noon, Kind: trace.Correction, Corrects: "a", Source: "desk"}
	c2 := trace.Fact{ID: "c2", At: noon, Kind: trace.Correction, Corrects: "c1", Source: "desk"}
	apply(t, s, facts(f("a", 1, "J1", 1, "C"), f("b", 3, "J2", 1, "C"), f("c", 2, "J1", 2, "D"), c1, c2))
	m1 := trace.Fact{ID: "m1", At: noon.Add(-time.Hour), Kind: trace.RollMounted, Roll: "R1", Place: "A", Source: "desk"}
	m2 := trace.Fact{ID: "m2", At: noon.Add(-time.Minute), Kind: trace.Correction, Corrects: "m1", Source: "desk"}
	apply(t, s, facts(m1, m2))
	for _, c := range []struct {
		q    desk.FactQuery
		want string
	}{
		{desk.FactQuery{}, "b c a c2 c1 m2 m1"},
		{desk.FactQuery{Limit: 2}, "b c"},
		{desk.FactQuery{Release: j1}, "c a c2 c1"},
		{desk.FactQuery{Plan: 7, Run: 1}, "b a"},
		{desk.FactQuery{Machine: "D"}, "c"},
		{desk.FactQuery{ID: "c1"}, "c1"},
		{desk.FactQuery{Rolls: true}, "m2 m1"},
		{desk.FactQuery{Rolls: true, Since: noon.Add(-2 * time.Minute)}, "m2"},
		{desk.FactQuery{Since: noon.Add(2 * time.Minute)}, "b c"},
	} {
		got, err := s.Facts(t.Context(), c.q)
		var ids []string
		for _, f := range got {
			ids = append(ids, string(f.ID))
		}
		if s := strings.Join(ids, " "); err != nil || s != c.want {
			t.Errorf("%+v: %s, %v, want %s", c.q, s, err, c.want)
		}
	}
}

func TestLoadShowsOnlyWhatChanged(t *testing.T) {
	s := open(t, t.TempDir())
	line := func(key string, version int, asleep bool) desk.Put {
		return desk.Put{Kind: desk.KindLine, Key: key, Version: version, Body: json.RawMessage(`{}`), Asleep: asleep}
	}
	apply(t, s, change(line("J1", 0, false), line("J2", 0, true), item("A", 0, `{}`)))
	apply(t, s, facts(fact("f1", trace.RunEnded, 500)))
	load := func(after int64, since time.Time) (int64, string) {
		var seen []string
		n, err := s.Load(t.Context(), after, since, desk.Visitor{
			Entry:   func(e desk.Entry) error { seen = append(seen, string(e.Kind)+" "+e.Key); return nil },
			Touched: func(t trace.Subject) { seen = append(seen, "touched "+t.Release.String()) },
			Fact:    func(f trace.Fact) error { seen = append(seen, "fact "+string(f.ID)); return nil },
		})
		if err != nil {
			t.Fatal(err)
		}
		return n, strings.Join(seen, ", ")
	}
	n, all := load(0, noon.Add(time.Hour))
	if want := "item A, line J1, touched J1, fact f1"; all != want {
		t.Errorf("all: %s, want %s", all, want)
	}
	if _, all := load(0, noon); !strings.Contains(all, "line J2") {
		t.Errorf("a line that fell asleep lately is left out: %s", all)
	}
	if _, none := load(n, noon); none != "" {
		t.Errorf("nothing changed: %s", none)
	}
	apply(t, s, facts(trace.Fact{ID: "c1", At: noon, Kind: trace.Correction, Corrects: "f1", Source: "desk"}))
	if n, some := load(n, noon); some != "touched J1, fact f1, fact c1" {
		t.Errorf("a correction (revision %d): %s", n, some)
	}
	apply(t, s, change(item("A", 1, "")))
	if _, some := load(n+1, noon); some != "item A" {
		t.Errorf("a removal: %s", some)
	}
	apply(t, s, facts(trace.Fact{ID: "h1", At: noon, Kind: trace.Held, Roll: "R1", Source: "desk"},
		trace.Fact{ID: "h2", At: noon, Kind: trace.Correction, Corrects: "h1", Source: "desk"}))
	if _, some := load(n+2, noon); some != "fact h1, fact h2" {
		t.Errorf("a hold: %s", some)
	}
	if _, some := load(n+3, noon); some != "fact h1, fact h2" {
		t.Errorf("holds are shown with every load: %s", some)
	}
}

func TestStagedIsTakenOnce(t *testing.T) {
	s := open(t, t.TempDir())
	id, err := s.Stage(t.Context(), desk.Staged{Name: "orders.csv", At: noon, Who: "Ana"})
	if err != nil {
		t.Fatal(err)
	}
	c := change(item("A", 0, `{}`))
	c.Confirms = id
	apply(t, s, c)
	st, err := s.Staged(t.Context(), id)
	if err != nil || !st.Confirmed || st.By != "Ana" || !st.When.Equal(noon) || st.Name != "orders.csv" {
		t.Errorf("%+v, %v", st, err)
	}
	c.Puts = []desk.Put{item("B", 0, `{}`)}
	if _, err := s.Apply(t.Context(), c); !errors.Is(err, fault.Conflict) {
		t.Errorf("taken twice: %v", err)
	}
	if _, err := s.Staged(t.Context(), 99); !errors.Is(err, fault.NotFound) {
		t.Errorf("no such import: %v", err)
	}
}

func TestOneProcessAFolder(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	_, err := Open(t.Context(), dir)
	if !errors.Is(err, fault.Refused) || !strings.Contains(err.Error(), fmt.Sprintf("process %d", os.Getpid())) {
		t.Fatalf("a second opening: %v", err)
	}
	s.Close()
	open(t, dir)
}

func TestANewerSchemaIsRefused(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	if _, err := s.write.ExecContext(t.Context(), `INSERT INTO goose_db_version (version_id, is_applied) VALUES (9001, 1)`); err != nil {
		t.Fatal(err)
	}
	s.Close()
	if _, err := Open(t.Context(), dir); !errors.Is(err, fault.Refused) || !strings.Contains(err.Error(), "newer version") {
		t.Fatal(err)
	}
	if _, err := Open(context.Background(), dir); !errors.Is(err, fault.Refused) || strings.Contains(err.Error(), "in use") {
		t.Errorf("a refused folder stays locked: %v", err)
	}
}

func TestAFolderWithOddCharacters(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "Plant 1 ? 50% #ä")
	s := open(t, dir)
	apply(t, s, change(item("A", 0, `{}`)))
	if _, err := os.Stat(filepath.Join(dir, fileName)); err != nil {
		t.Error(err)
	}
}
