package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan/runs"
)

// pair is a problem whose first order fits no web alone, only beside the second.
const pair = `{"corrugator": {"webs_mm": [2000], "side_trim_min_mm": 15, "side_trim_max_mm": 60, "knife_levels": 2, "max_orders_per_run": 2, "min_run_m": 60, "run_change_loss_m": 2},
 "grades": [{"grade": "B", "price_per_m2": 0.2}],
 "orders": [{"order": "A", "grade": "B", "slit_mm": 1200, "chop_mm": 1000, "sheets": 2000, "over_pct": 5},
            {"order": "Z", "grade": "B", "slit_mm": 700, "chop_mm": 1600, "sheets": 1250, "over_pct": 5}]}`

func TestTrimPlansAndRepeats(t *testing.T) {
	path := file(t, "problem.json", pair)
	out := filepath.Join(t.TempDir(), "plan.json")
	if code, _, errs := shell(t, "trim", path, "--rounds", "20", "--seed", "3", "--out", out); code != exitOK {
		t.Fatalf("exit %d: %s", code, errs)
	}
	var p runs.Problem
	var a, b runs.Answer
	if err := json.Unmarshal([]byte(pair), &p); err != nil {
		t.Fatal(err)
	}
	if err := readDocument(out, &a); err != nil {
		t.Fatal(err)
	}
	if err := runs.Check(p, a); err != nil || len(a.Unplanned) > 0 {
		t.Errorf("%v, unplanned %v", err, a.Unplanned)
	}
	code, again, _ := shell(t, "trim", path, "--rounds", "20", "--seed", "3")
	if code != exitOK {
		t.Fatalf("exit %d", code)
	}
	if err := json.Unmarshal([]byte(again), &b); err != nil {
		t.Fatal(err)
	}
	a.Totals.Seconds, b.Totals.Seconds = 0, 0
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	if !bytes.Equal(x, y) {
		t.Error("the same seed and rounds gave two plans")
	}
}

func TestTrimWithNothingToPlan(t *testing.T) {
	alone := strings.Replace(pair, `"slit_mm": 700`, `"slit_mm": 100`, 1)
	alone = strings.Replace(alone, `"knife_levels": 2,`, `"knife_levels": 2, "min_slit_mm": 180,`, 1)
	code, out, errs := shell(t, "trim", file(t, "problem.json", alone), "--seconds", "0.2")
	var a runs.Answer
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatalf("exit %d, no answer: %v: %s", code, err, errs)
	}
	if code != exitNothing || len(a.Unplanned) != 2 {
		t.Fatalf("exit %d, unplanned %v", code, a.Unplanned)
	}
	for k, word := range []string{"side_trim_max_mm", "min_slit_mm"} {
		if !strings.Contains(a.Unplanned[k].Reason, word) {
			t.Errorf("%s: reason %q does not name %s", a.Unplanned[k].Order, a.Unplanned[k].Reason, word)
		}
	}
}

func TestTrimInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	code := run(&env{ctx, strings.NewReader(""), &out, &errs, nil}, []string{"trim", file(t, "problem.json", pair), "--seconds", "60"})
	var a runs.Answer
	if err := json.Unmarshal(out.Bytes(), &a); err != nil || code != exitOK || len(a.Runs) == 0 {
		t.Errorf("exit %d, %d runs, %v: %s", code, len(a.Runs), err, errs.String())
	}
}

func TestTrimRefuses(t *testing.T) {
	cases := []struct {
		name, text string
		lines      []string // each stands on a line of its own
	}{
		{"an unknown field", strings.Replace(pair, `"min_run_m"`, `"least_run_m"`, 1), []string{"least_run_m"}},
		{"two figures out of range", strings.NewReplacer(`"slit_mm": 700`, `"slit_mm": -700`, `"sheets": 2000`, `"sheets": 0`).Replace(pair),
			[]string{"orders[0].sheets", "orders[1].slit_mm"}},
		{"more than can be counted", strings.NewReplacer(`"sheets": 2000`, `"sheets": 10000000`, `"chop_mm": 1000`, `"chop_mm": 100000`).Replace(pair), []string{"orders[0].sheets"}},
		{"a word for a number", strings.Replace(pair, `"sheets": 2000`, `"sheets": "many"`, 1), []string{"sheets"}},
		{"an unknown grade", strings.Replace(pair, `"A", "grade": "B"`, `"A", "grade": "Q"`, 1), []string{"orders[0].grade"}},
		{"a paper twice", strings.Replace(pair, `"grades"`, `"papers": [{"paper": "P", "metres": {"2000": 5}}, {"paper": "P", "metres": {}}], "grades"`, 1), []string{"papers[1].paper"}},
		{"a document cut short", pair[:len(pair)/2], []string{"ends"}},
		{"text behind the end", pair + "{}", []string{"end of its document"}},
		{"no document", "", []string{"ends"}},
	}
	for _, c := range cases {
		out := filepath.Join(t.TempDir(), "plan.json")
		code, _, errs := shell(t, "trim", file(t, "problem.json", c.text), "--seconds", "0.2", "--out", out)
		lines := strings.Split(strings.TrimSpace(errs), "\n")
		if code != exitInput || len(lines) != len(c.lines) {
			t.Errorf("%s: exit %d: %q", c.name, code, errs)
			continue
		}
		for k, want := range c.lines {
			if !strings.Contains(lines[k], want) {
				t.Errorf("%s: line %q does not name %s", c.name, lines[k], want)
			}
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%s: a plan was written", c.name)
		}
	}
}

func TestTrimRefusesAHugeFile(t *testing.T) {
	path := file(t, "problem.json", "")
	if err := os.Truncate(path, 100<<20); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := shell(t, "trim", path); code != exitInput || !strings.Contains(errs, "64 MB") {
		t.Errorf("exit %d: %s", code, errs)
	}
}

// FuzzProblem reads anything as a problem: what passes the checks is planned, and the plan passes its own.
func FuzzProblem(f *testing.F) {
	f.Add([]byte(pair))
	f.Add([]byte(strings.Replace(pair, `"max_orders_per_run": 2,`, ``, 1)))
	f.Add([]byte(`{"corrugator": {"webs_mm": [1e9]}, "grades": [], "orders": null}`))
	f.Add([]byte(`{"corrugator": {"webs_mm": [2000], "knife_levels": 16, "reject_cuts_per_lane": 1000}, "grades": [{"grade": "B", "plies": [{"paper": "P", "take_up": 0}]}], "papers": [{"paper": "P", "metres": {"2000": 0}}], "orders": [{"order": "A", "grade": "B", "slit_mm": 0.001, "chop_mm": 100000, "sheets": 9999, "under_pct": 100, "over_pct": 1000}]}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		var p runs.Problem
		if err := decodeDocument("problem.json", raw, &p); err != nil {
			if len(fault.Lines(err)) == 0 || fault.Lines(err)[0] == "" {
				t.Error("refused without a word")
			}
			return
		}
		if len(p.Orders) > 6 || len(p.Grades) > 4 || len(p.Corrugator.Webs) > 8 {
			return
		}
		a, err := runs.Solve(context.Background(), p, runs.Options{Rounds: 3})
		if err != nil {
			return
		}
		if err := runs.Check(p, a); err != nil {
			t.Error(err)
		}
	})
}
