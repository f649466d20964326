package plan_test

import (
	"context"
	"testing"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

func TestDemoBook(t *testing.T) {
	p, err := plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Seconds: 1, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", p.Summary)
	t.Logf("%+v", p.Totals)
	for _, n := range p.Notices {
		t.Log(n.Rank, n.Kind, n.Text, n.ActBy)
	}
}
