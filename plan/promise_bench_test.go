package plan_test

import (
	"context"
	"testing"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/promise"
	"github.com/flutewright/flutewright/plant/demo"
)

// BenchmarkPromise2500 asks once on 2,500 open lines: at most 5 s.
func BenchmarkPromise2500(b *testing.B) {
	book := demo.Generated(demo.Size{Lines: 2500, Rolls: 2900, Seed: 1})
	p, err := plan.Make(context.Background(), book, plan.Options{Now: demo.Now, Seconds: 2, Seed: 1})
	if err != nil {
		b.Fatal(err)
	}
	b.Log(len(p.Runs), "runs", len(p.Clock.Jobs), "jobs")
	ask := plan.Ask{Item: book.Items[7].Code, Customer: book.Customers[0].Code, Quantity: 12000, Due: demo.Now.AddDate(0, 0, 9), DueAt: "dock"}
	for b.Loop() {
		got, err := plan.Promise(context.Background(), book, p, ask, plan.Front{}, promise.Scatter{}, demo.Now, promise.Options{Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		b.Log(len(p.Runs), got.Sentence)
	}
}
