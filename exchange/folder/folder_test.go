package folder_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/flutewright/flutewright/exchange/folder"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// planned is one plan of the demo book, made once for all tests.
var planned = sync.OnceValues(func() (*plan.Plan, error) {
	return plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Seconds: 0.3, Seed: 1})
})

func demoPlan(t *testing.T) *plan.Plan {
	t.Helper()
	p, err := planned()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func records(t *testing.T, path string) []map[string]string {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = r[i]
		}
		out = append(out, m)
	}
	return out
}

// The tables say what the plan says.
func TestTablesHoldThePlan(t *testing.T) {
	p, b := demoPlan(t), demo.Book()
	dir := filepath.Join(t.TempDir(), "new", "out")
	if err := folder.Write(dir, p, b); err != nil {
		t.Fatal(err)
	}
	runs := records(t, filepath.Join(dir, "runs.csv"))
	if len(runs) != len(p.Runs) || len(runs) == 0 {
		t.Fatalf("%d runs, want %d", len(runs), len(p.Runs))
	}
	metres := 0.0
	for _, r := range runs {
		v, err := strconv.ParseFloat(r["length_m"], 64)
		if err != nil || r["start"] == "" {
			t.Fatalf("run %v", r)
		}
		metres += v
	}
	if d := metres - p.Totals.Length.Metres(); d > 0.01 || d < -0.01 {
		t.Errorf("runs.csv has %.3f m, the plan %v", metres, p.Totals.Length)
	}
	sheets := map[string]int{}
	for _, l := range records(t, filepath.Join(dir, "lanes.csv")) {
		n, _ := strconv.Atoi(l["sheets"])
		sheets[l["order"]] += n
	}
	orders := records(t, filepath.Join(dir, "orders.csv"))
	if len(orders) != len(b.Lines) {
		t.Errorf("%d orders, want %d", len(orders), len(b.Lines))
	}
	for _, o := range orders {
		if o["sheets_planned"] != strconv.Itoa(sheets[o["order"]]) {
			t.Errorf("%s: %s sheets in orders.csv, %d in lanes.csv", o["order"], o["sheets_planned"], sheets[o["order"]])
		}
	}
	for name, n := range map[string]int{"jobs": len(p.Clock.Jobs), "loads": len(p.Loads), "paper": len(p.Rolls.Positions), "notices": len(p.Notices)} {
		if got := len(records(t, filepath.Join(dir, name+".csv"))); got != n {
			t.Errorf("%s.csv: %d rows, want %d", name, got, n)
		}
	}
	raw, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	var back plan.Plan
	if err != nil || json.Unmarshal(raw, &back) != nil || len(back.Runs) != len(p.Runs) {
		t.Errorf("plan.json does not come back: %v", err)
	}
	for _, pdf := range []string{"tags.pdf", "corrugator-runs.pdf"} {
		if raw, err := os.ReadFile(filepath.Join(dir, pdf)); err != nil || !bytes.HasPrefix(raw, []byte("%PDF-")) {
			t.Errorf("%s: %v", pdf, err)
		}
	}
}

// A folder that stands is renewed; other people's files in it stay, and nothing half-made is left beside it.
func TestWriteAgain(t *testing.T) {
	p, b := demoPlan(t), demo.Book()
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	for range 2 {
		if err := folder.Write(dir, p, b); err != nil {
			t.Fatal(err)
		}
		for name, text := range map[string]string{"mine.txt": "keep", "OLD-1-jobs.pdf": "of a machine without jobs", "runs.csv": "old"} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := folder.Write(dir, p, b); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(dir, "mine.txt")); err != nil {
		t.Error("another's file is gone")
	}
	if _, err := os.Stat(filepath.Join(dir, "OLD-1-jobs.pdf")); err == nil {
		t.Error("the sheet of a machine without jobs is still there")
	}
	if len(records(t, filepath.Join(dir, "runs.csv"))) != len(p.Runs) {
		t.Error("runs.csv was not renewed")
	}
	if left, _ := os.ReadDir(above); len(left) != 1 {
		t.Errorf("left beside the folder: %v", left)
	}
}

func TestFailureLeavesNothing(t *testing.T) {
	b := demo.Book()
	b.Plant.Calendar.Zone = "Nowhere/At_All"
	above := t.TempDir()
	if err := folder.Write(filepath.Join(above, "out"), demoPlan(t), b); err == nil {
		t.Error("an unknown time zone was taken")
	}
	if left, _ := os.ReadDir(above); len(left) != 0 {
		t.Errorf("left: %v", left)
	}
	file := filepath.Join(above, "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := folder.Write(file, demoPlan(t), demo.Book()); err == nil || !strings.Contains(err.Error(), "is a file") {
		t.Errorf("%v", err)
	}
}

// Cells that a spreadsheet would take for formulas are shielded; numbers are not.
func TestFormulasAreShielded(t *testing.T) {
	p := *demoPlan(t)
	p.Notices = []plan.Notice{{Rank: 1, Kind: "late", Text: "=HYPERLINK(\"x\")"}, {Rank: -2, Kind: "@x", Text: "-3"}}
	dir := filepath.Join(t.TempDir(), "out")
	if err := folder.Write(dir, &p, demo.Book()); err != nil {
		t.Fatal(err)
	}
	n := records(t, filepath.Join(dir, "notices.csv"))
	if n[0]["text"] != `'=HYPERLINK("x")` || n[1]["kind"] != "'@x" || n[1]["text"] != "-3" || n[1]["rank"] != "-2" {
		t.Errorf("%v", n)
	}
}
