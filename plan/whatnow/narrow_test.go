package whatnow

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// Leaving out what no way can touch changes no answer: orders that came in since
// the plan in force was made stay as they are, whatever happens to the others.
func TestNarrowed(t *testing.T) {
	b := demo.Book()
	in, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Rounds: 30, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for n := range 9 {
		item, line := b.Items[n], b.Lines[3*n]
		item.Code, item.StockLeast, item.Kit = ident.Item(fmt.Sprintf("NEW-%d", n)), 0, nil
		line.Key, line.Item = ident.NewRelease(fmt.Sprintf("N%d", n), "", ""), item.Code
		b.Items, b.Lines = append(b.Items, item), append(b.Lines, line)
	}
	rush := b.Lines[4]
	rush.Key = ident.NewRelease("RUSH", "", "")
	for _, e := range []Event{
		{Kind: MachineDown, Machine: "FFG-2", Until: demo.Now.Add(15 * time.Hour)},
		{Kind: Rush, Line: rush},
		{Kind: Short, Release: ident.NewRelease("J1002", "", ""), Good: 11350},
		{Kind: Cut, Release: ident.NewRelease("J1022", "", "")},
	} {
		p := Problem{Book: b, Plan: in, Now: demo.Now.Add(9 * time.Hour), Silent: true, Event: e}
		narrow := p
		if narrow.Book = p.narrowed(); len(p.Book.Lines)-len(narrow.Book.Lines) != 9 || len(p.Book.Items)-len(narrow.Book.Items) != 9 {
			t.Fatalf("%s: %d of %d lines and %d of %d items are left", e.Kind, len(narrow.Book.Lines), len(p.Book.Lines), len(narrow.Book.Items), len(p.Book.Items))
		}
		full, err := solve(t.Context(), p, Options{Seed: 1, Rounds: 40})
		if err != nil {
			t.Fatal(err)
		}
		less, err := solve(t.Context(), narrow, Options{Seed: 1, Rounds: 40})
		if err != nil {
			t.Fatal(err)
		}
		if len(full.Answers) != len(less.Answers) || full.Sentence != less.Sentence {
			t.Fatalf("%s: %d answers, %q; without the new orders %d, %q", e.Kind, len(full.Answers), full.Sentence, len(less.Answers), less.Sentence)
		}
		for i, a := range full.Answers {
			o := less.Answers[i]
			if a.Title != o.Title || math.Abs(float64(a.More.Total-o.More.Total)) > 0.01 || len(a.Moves) != len(o.Moves) || a.Shifted != o.Shifted || len(a.Late) != len(o.Late) {
				t.Errorf("%s: %q, %.2f more, %d moves; without the new orders %q, %.2f, %d", e.Kind, a.Title, a.More.Total, len(a.Moves), o.Title, o.More.Total, len(o.Moves))
			}
		}
	}
}
