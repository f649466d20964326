package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/plan/jobs"
)

func jobsFile(t *testing.T, name, body string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// car1: Carlier, RAIRO Recherche opérationnelle 12 (1978), optimum 7038.
func TestJobsFlowshop(t *testing.T) {
	const car1 = `11 5
375 12 142 245 412
632 452 758 278 398
12 876 124 534 765
460 542 523 120 499
528 101 789 124 999
796 245 632 375 123
532 230 543 896 452
14 124 214 543 785
257 527 753 210 463
896 896 214 258 259
532 302 501 765 988
`
	var out, errs strings.Builder
	code := run(&env{t.Context(), nil, &out, &errs, nil}, []string{"jobs", jobsFile(t, "car1.txt", car1), "--format", "flowshop", "--json"})
	var a struct {
		Sequence []int
		Makespan int
		Bound    int
		Status   string
	}
	if err := json.Unmarshal([]byte(out.String()), &a); err != nil || code != exitOK {
		t.Fatalf("exit %d, %v: %s%s", code, err, out.String(), errs.String())
	}
	if a.Makespan != 7038 || a.Bound != 7038 || a.Status != "optimal" || len(a.Sequence) != 11 {
		t.Errorf("got %+v", a)
	}
	for name, body := range map[string]string{"words": "2 1\n5 x", "short": "2 2\n1 2 3", "empty": "", "negative": "1 1\n-4"} {
		out.Reset()
		errs.Reset()
		if code := run(&env{t.Context(), nil, &out, &errs, nil}, []string{"jobs", jobsFile(t, name, body), "--format", "flowshop"}); code != exitInput || errs.Len() == 0 || out.Len() != 0 {
			t.Errorf("%s: exit %d, %q", name, code, errs.String())
		}
	}
}

// Two jobs, one set-up: the due one first on the machine that can do both (hand).
func TestJobsOnMachines(t *testing.T) {
	const body = `{"machines":[{"machine":"A","cost_per_h":60},{"machine":"B","cost_per_h":600}],
	"jobs":[{"job":"x","minutes":{"A":30,"B":30},"due_min":200,"late_cost_per_h":10},{"job":"y","minutes":{"A":20},"due_min":20,"late_cost_per_h":100}],
	"set_ups":[{"before":"y","next":"x","minutes":10}]}`
	var out, errs strings.Builder
	path := jobsFile(t, "pool.json", body)
	if code := run(&env{t.Context(), nil, &out, &errs, nil}, []string{"jobs", path, "--json"}); code != exitOK {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	var a jobs.PoolAnswer
	if err := json.Unmarshal([]byte(out.String()), &a); err != nil {
		t.Fatal(err)
	}
	// y 0–20 and x after 10 min of set-up until 60: one hour of A at 60.
	if s := a.Sequences[0].Jobs; len(s) != 2 || s[0].Job != "y" || s[1].End != 60 || a.Cost != 60 || a.LateCost != 0 {
		t.Errorf("got %+v", a)
	}
	out.Reset()
	if code := run(&env{t.Context(), nil, &out, &errs, nil}, []string{"jobs", path}); code != exitOK || !strings.Contains(out.String(), "bound") {
		t.Errorf("the table: exit %d, %s", code, out.String())
	}
}
