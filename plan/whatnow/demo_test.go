package whatnow_test

import (
	"context"
	"sync"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

// routes are the folder-gluers that the demo plant's orders are agreed on where
// the scenarios of the day ask for them; all others go by rule.
var routes = map[ident.Item][]ident.Machine{
	"FW-1003": {"FFG-2"}, "FW-1004": {"FFG-2"}, "FW-1005": {"FFG-2"}, "FW-1013": {"FFG-2"}, "FW-1039": {"FFG-3"}, "FW-1015": {"FFG-3"},
}

func routed() plant.Book {
	b := demo.Book()
	for i, it := range b.Items {
		b.Items[i].Route = routes[it.Code]
	}
	return b
}

func without(b plant.Book, k string) (plant.Book, order.Line) {
	var out []order.Line
	var gone order.Line
	for _, l := range b.Lines {
		if l.Key.String() == k {
			gone = l
			continue
		}
		out = append(out, l)
	}
	b.Lines = out
	return b, gone
}

func made(b plant.Book) (*plan.Plan, error) {
	return plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Rounds: 300, Seed: 1})
}

// monday is the routed demo book's plan; noRush the one made before J1039 came.
var (
	monday = sync.OnceValues(func() (*plan.Plan, error) { return made(routed()) })
	noRush = sync.OnceValues(func() (*plan.Plan, error) { b, _ := without(routed(), "J1039"); return made(b) })
)

func at(clock string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04", clock, time.UTC)
	if err != nil {
		panic(err)
	}
	return t
}

func key(k string) ident.Release { return ident.NewRelease(k, "", "") }

func solve(t *testing.T, p whatnow.Problem) whatnow.Result {
	t.Helper()
	r, err := whatnow.Solve(context.Background(), p, whatnow.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func show(t *testing.T, r whatnow.Result) {
	t.Helper()
	t.Logf("%s | refusal %q | taken %+v | tried %d", r.Sentence, r.Refusal, r.Taken, r.Tried)
	for _, a := range r.Answers {
		t.Logf("- %s [%s]: total %.0f (paper %.0f min %.0f press %.0f late %.0f lost %.0f), more %+.0f; late %d, %.1f h; newly %d saved %d; decide %s; agree %v", a.Title, a.Note, a.Cost.Total, a.Cost.Paper, a.Cost.Minutes, a.Cost.Press, a.Cost.Late, a.Cost.Lost, a.More.Total, len(a.Late), a.Hours, len(a.Newly), len(a.Saved), a.DecideBy.Format("Mon 15:04"), a.Agree)
		for _, m := range a.Moves {
			t.Logf("    %s", m.Words)
		}
	}
	for _, x := range r.Refused {
		t.Logf("  refused %s: %s", x.Way, x.Reason)
	}
}
