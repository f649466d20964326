package plan_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/promise"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/demo"
)

// The judge finds each of these (hand).
func TestPromiseCheckFindsFaults(t *testing.T) {
	p := planOfMonday(t)
	good := promised(t, demo.Book(), p, plan.Ask{Item: "FW-1002", Quantity: 12000, Due: demo.Now.AddDate(0, 0, 3), DueAt: "dock"}, plan.Front{}, promise.Scatter{})
	spoil := map[string]func(*promise.Problem, *promise.Result){
		"a date too early":     func(_ *promise.Problem, r *promise.Result) { r.At = r.At.Add(-time.Hour) },
		"yes for no":           func(_ *promise.Problem, r *promise.Result) { r.Yes = !r.Yes },
		"float":                func(_ *promise.Problem, r *promise.Result) { r.Float += 5 },
		"a bound above it":     func(_ *promise.Problem, r *promise.Result) { r.NotBefore = r.At.Add(time.Minute) },
		"a frozen run changed": func(p *promise.Problem, r *promise.Result) { p.Front = len(p.Clock.Runs) },
		"a day that is none":   func(_ *promise.Problem, r *promise.Result) { r.DaySooner = &promise.Sooner{At: r.At, Gain: 10} },
		"another's sheets gone": func(p *promise.Problem, r *promise.Result) {
			p.Clock.Runs = slices.Clone(p.Clock.Runs)
			p.Clock.Runs[0].Lanes = slices.Clone(p.Clock.Runs[0].Lanes)
			p.Clock.Runs[0].Lanes[0].Sheets += 900
		},
		"no paper": func(p *promise.Problem, _ *promise.Result) {
			p.Paper = slices.Clone(p.Paper)
			for i := range p.Paper {
				p.Paper[i].At = demo.Now.AddDate(0, 0, 9)
			}
		},
		"its sheets not made": func(_ *promise.Problem, r *promise.Result) { r.Plan = []runs.Run{} },
		"jobs lost":           func(_ *promise.Problem, r *promise.Result) { r.Clock.Jobs = []jobs.Job{} },
	}
	for name, f := range spoil {
		problem, r := good.Problem, good.Result
		f(&problem, &r)
		if err := promise.Check(problem, r); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
