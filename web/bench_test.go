package web_test

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// Sizes of a plant of 60,000 t a year (common practice, no published source).
const (
	manyLines = 2500
	manyItems = 10000
	manyRolls = 2000
)

// large is the demo's book and plan repeated under new names until they are
// as large as a real plant's; the pages have as much to show, whatever it is worth.
func large(tb testing.TB) (plant.Book, *plan.Plan) {
	tb.Helper()
	b := demo.Book()
	p, err := demoPlan()
	if err != nil {
		tb.Fatal(err)
	}
	lines, items, rolls := b.Lines, b.Items, b.Rolls
	for n := len(b.Items); n < manyItems; n++ {
		i := items[n%len(items)]
		i.Code = ident.Item(fmt.Sprintf("%s-%d", i.Code, n/len(items)))
		b.Items = append(b.Items, i)
	}
	for n := len(b.Rolls); n < manyRolls; n++ {
		r := rolls[n%len(rolls)]
		r.ID = ident.Roll(fmt.Sprintf("%s-%d", r.ID, n/len(rolls)))
		b.Rolls = append(b.Rolls, r)
	}
	whole := *p
	whole.Runs = slices.Clone(p.Runs)
	for copy := 1; len(b.Lines) < manyLines; copy++ {
		for _, l := range lines {
			l.Key.Order = again(l.Key.Order, copy)
			l.Item = ident.Item(fmt.Sprintf("%s-%d", l.Item, copy))
			b.Lines = append(b.Lines, l)
		}
		add(tb, &whole, p, copy)
	}
	b.Lines = slices.Clip(b.Lines)
	return b, &whole
}

func again(order string, copy int) string { return fmt.Sprintf("%s-%d", order, copy) }

// add appends a copy of p to whole, its orders and runs under new names.
func add(tb testing.TB, whole, p *plan.Plan, copy int) {
	raw, err := json.Marshal(p)
	if err != nil {
		tb.Fatal(err)
	}
	text := string(raw)
	for _, l := range demo.Book().Lines {
		text = strings.ReplaceAll(text, `"`+l.Key.Order+`"`, `"`+again(l.Key.Order, copy)+`"`)
	}
	var q plan.Plan
	if err := json.Unmarshal([]byte(text), &q); err != nil {
		tb.Fatal(err)
	}
	step := len(p.Runs) * copy
	for i := range q.Runs {
		q.Runs[i].Seq += step
	}
	for i := range q.Setups {
		q.Setups[i].Run += step
	}
	for i := range q.Clock.Runs {
		q.Clock.Runs[i].Run += step
	}
	for i := range q.Rolls.Needs {
		q.Rolls.Needs[i].Run += step
	}
	whole.Runs = append(whole.Runs, q.Runs...)
	whole.Orders = append(whole.Orders, q.Orders...)
	whole.Demands = append(whole.Demands, q.Demands...)
	whole.Setups = append(whole.Setups, q.Setups...)
	whole.Rolls.Needs = append(whole.Rolls.Needs, q.Rolls.Needs...)
	whole.Clock.Runs = append(whole.Clock.Runs, q.Clock.Runs...)
	whole.Clock.Jobs = append(whole.Clock.Jobs, q.Clock.Jobs...)
	whole.Clock.Finishes = append(whole.Clock.Finishes, q.Clock.Finishes...)
	whole.Loads = append(whole.Loads, q.Loads...)
	whole.Notices = append(whole.Notices, q.Notices...)
}

// BenchmarkPages times every page on a large book and reports the 95th
// percentile, which must stay under 50 ms.
func BenchmarkPages(b *testing.B) {
	book, whole := large(b)
	d := opened(b, func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) { return whole, nil })
	d.Check = func(plant.Book, *plan.Plan) error { return nil } // repeated, it is no plan that could be run
	if err := d.SetUp(b.Context(), book, "bench"); err != nil {
		b.Fatal(err)
	}
	d.plan()
	d.plan()
	for _, path := range []string{
		"/", "/orders", "/orders?q=export", "/orders?late=1&by=customer", "/orders?page=12", "/orders/J1001/1/1", "/orders/import",
		"/boxes", "/boxes?q=case", "/boxes?page=77", "/boxes/FW-1001", "/board", "/runs", "/runs?page=9", "/runs/7", "/rolls", "/rolls/house", "/rolls/house?page=9",
		"/jobs", "/jobs?machine=FFG-1", "/loads", "/loads/J1001/1/1", "/plans", "/plans/1", "/plans/compare?a=1&b=2", "/plant", "/floor", "/api/orders", "/api/items",
	} {
		b.Run(strings.TrimPrefix(path, "/"), func(b *testing.B) {
			var took []time.Duration
			for b.Loop() {
				begun := time.Now()
				if w := d.get(path); w.Code != 200 {
					b.Fatalf("%s: status %d", path, w.Code)
				}
				took = append(took, time.Since(begun))
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "p95-ms")
			b.ReportMetric(float64(len(d.get(path).Body.Bytes()))/1024, "KiB")
		})
	}
}
