package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/plan/webs"
)

// apart holds two orders on runs of their own: by hand, 1800 and 2200 together
// waste nothing and cost 1000, 2200 alone costs 1100.
const apart = `{"corrugator": {"webs_mm": [2000], "max_orders_per_run": 1},
 "grades": [{"grade": "B", "price_per_m2": 0.5}],
 "orders": [{"order": "A", "grade": "B", "slit_mm": 900, "chop_mm": 1000, "sheets": 1000},
            {"order": "Z", "grade": "B", "slit_mm": 1100, "chop_mm": 1000, "sheets": 1000}]}`

func TestWebs(t *testing.T) {
	path, svg := file(t, "problem.json", apart), filepath.Join(t.TempDir(), "webs.svg")
	code, out, errs := shell(t, "webs", path, "--candidates", "2200,1800,2000", "--most", "2", "--rounds", "5", "--json", "--svg", svg)
	if code != exitOK {
		t.Fatalf("exit %d: %s", code, errs)
	}
	var r webs.Result
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Sets) != 5 || r.Spare != 1 || r.Sets[0].String() != "1800, 2200 mm" || math.Abs(float64(r.Sets[0].Cost)-1000) > 1e-6 || r.Status != webs.Exact {
		t.Errorf("%d sets, best %s at %v, %s", len(r.Sets), r.Sets[0], r.Sets[0].Cost, r.Status)
	}
	raw, err := os.ReadFile(svg)
	if err != nil || !strings.Contains(string(raw), "today") || !strings.Contains(string(raw), "2 widths") {
		t.Errorf("%v: %s", err, raw)
	}
	code, out, errs = shell(t, "webs", path, "--candidates", "2200,1800", "--most", "2", "--keep-cost", "501", "--days", "73", "--rounds", "5")
	if code != exitOK || !strings.Contains(strings.Split(out, "\n")[1], "2200 ") || strings.Contains(strings.Split(out, "\n")[1], "1800") {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
}

// TestWebsOfAnOrderFile: the built-in plant's orders, with the days of their due times.
func TestWebsOfAnOrderFile(t *testing.T) {
	code, out, errs := shell(t, "webs", "../../exchange/testdata/orders.csv", "--candidates", "2000,2200,2500", "--most", "1", "--rounds", "1", "--json")
	var r webs.Result
	if err := json.Unmarshal([]byte(out), &r); err != nil || code != exitOK {
		t.Fatalf("exit %d, %v: %s", code, err, errs)
	}
	if len(r.Sets) != 3 || r.Days <= 1 || len(r.Today.Left) > len(r.Sets[0].Left) || r.Today.Plan == nil || r.Stretches < 2 {
		t.Errorf("%d sets over %v days", len(r.Sets), r.Days)
	}
}

func TestWebsRefuses(t *testing.T) {
	path := file(t, "problem.json", apart)
	for _, c := range []struct {
		says string
		args []string
	}{
		{"--candidates", []string{"--candidates", "wide"}},
		{"candidates_mm[1]", []string{"--candidates", "1800,99999"}},
		{"most", []string{"--candidates", "1800", "--most", "0"}},
		{"days", []string{"--candidates", "1800", "--keep-cost", "10"}},
		{"together_d", []string{"--candidates", "1800", "--together", "0.1"}},
		{"--seconds", []string{"--candidates", "1800", "--seconds", "0"}},
	} {
		if code, _, errs := shell(t, append([]string{"webs", path}, c.args...)...); code != exitInput || !strings.Contains(errs, c.says) {
			t.Errorf("%v: exit %d: %s", c.args, code, errs)
		}
	}
	if code, _, errs := shell(t, "webs", path, "--candidates", "500", "--rounds", "1"); code != exitNothing {
		t.Errorf("nothing fits: exit %d: %s", code, errs)
	}
}
