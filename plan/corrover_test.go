package plan_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// On one shift a day the demo's corrugator is what makes its orders late: a whole
// plan has its crew stay on, says so in a notice, is cheaper for it and passes Check.
func TestAPlanLetsTheCorrugatorWorkOver(t *testing.T) {
	b := demo.Book()
	b.Plant.Corrugator.Shifts = []string{"early"}
	for i := range b.Lines {
		b.Lines[i].Due = demo.Now.Add(time.Duration(14+i%5*6) * time.Hour)
	}
	made := func() *plan.Plan {
		t.Helper()
		p, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Rounds: 20, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		if err := plan.Check(b, p); err != nil {
			t.Fatal(err)
		}
		return p
	}
	plain := made()
	b.Plant.Overtime = plant.Overtime{PerHour: 1e6, Most: 120, Corrugator: 150}
	over := made()
	if plain.Summary.LateCost <= 0 || over.Clock.Overtime <= 0 || over.Summary.Cost >= plain.Summary.Cost {
		t.Errorf("%.0f of lateness without; %.0f of overtime, cost %.0f after %.0f", plain.Summary.LateCost, over.Clock.Overtime, over.Summary.Cost, plain.Summary.Cost)
	}
	said := false
	for _, n := range over.Notices {
		said = said || strings.HasPrefix(n.Text, "CORR-1: the early crew works over")
	}
	if !said {
		t.Error("no notice says that the crew works over")
	}
	t.Logf("lateness %.0f without; %.0f with %.0f of overtime in %d stretches", plain.Summary.LateCost, over.Summary.LateCost, over.Clock.Overtime, len(over.Clock.Manning))
}
