package plan_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// TestExchange: with a yes to TL170 outside on B-ST, every run of B-ST draws it
// there, the dearer paper is in the money, and the plan says so of itself.
func TestExchange(t *testing.T) {
	b := demo.Book()
	b.Plant.Substitutes = []plant.Substitute{{For: "TL140", Use: "TL170", Plies: []int{1}, Grades: []ident.Grade{"B-ST"}}}
	yes := plan.Choices{Exchanges: []plan.Exchange{{Grade: "B-ST", Ply: 1, For: "TL140", Use: "TL170"}}}
	p, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Seed: 1, Rounds: 40, Choices: yes})
	if err != nil {
		t.Fatal(err)
	}
	grade := map[int]ident.Grade{}
	made := 0.0
	for _, r := range p.Runs {
		grade[r.Seq] = r.Grade
		if r.Grade == "B-ST" {
			made += r.Length.Metres()
		}
	}
	drawn := 0.0
	for _, n := range p.Rolls.Needs {
		if grade[n.Run] == "B-ST" && n.Ply == 1 {
			if n.Paper != "TL170" {
				t.Errorf("run %d draws %s outside", n.Run, n.Paper)
			}
			drawn += n.Metres.Metres()
		}
	}
	if made == 0 || drawn < made {
		t.Errorf("%.0f m of B-ST are made, %.0f m of TL170 drawn for them", made, drawn)
	}
	if len(p.Exchanges) != 1 {
		t.Error("the plan does not say what stands in")
	}
	without, err := plan.Trim(b, plan.Options{Now: demo.Now})
	if err != nil {
		t.Fatal(err)
	}
	with, err := plan.Trim(b, plan.Options{Now: demo.Now, Choices: yes})
	if err != nil {
		t.Fatal(err)
	}
	for i, g := range with.Grades { // hand: 30 g/m² more at 505 a tonne are 0.01515 a m²
		d := float64(*g.PricePerM2 - *without.Grades[i].PricePerM2)
		if want := map[ident.Grade]float64{"B-ST": 0.01515}[g.Grade]; d < want-1e-5 || d > want+1e-5 {
			t.Errorf("%s is dearer by %.5f a m², wanted %.5f", g.Grade, d, want)
		}
	}
}

// TestExchangeRefused says what stands against a yes.
func TestExchangeRefused(t *testing.T) {
	yes := plan.Exchange{Grade: "B-ST", Ply: 1, For: "TL140", Use: "TL170"}
	for _, c := range []struct {
		why   string
		rules []plant.Substitute
		yes   plan.Exchange
		rule  string
	}{
		{"no rule", nil, yes, "permits no TL170"},
		{"another ply", []plant.Substitute{{For: "TL140", Use: "TL170", Plies: []int{3}}}, yes, "permits no TL170"},
		{"another paper stands there", []plant.Substitute{{For: "TL140", Use: "TL170"}}, plan.Exchange{Grade: "B-ST", Ply: 2, For: "TL140", Use: "TL170"}, "is not TL140"},
		{"for one item only", []plant.Substitute{{For: "TL140", Use: "TL170", Items: []ident.Item{"none"}}}, yes, "does not permit it"},
		{"unknown grade", nil, plan.Exchange{Grade: "Z"}, "is not a grade"},
	} {
		b := demo.Book()
		b.Plant.Substitutes = c.rules
		err := plan.Choices{Exchanges: []plan.Exchange{c.yes}}.Check(b)
		if !errors.Is(err, fault.Invalid) || !strings.Contains(err.Error(), c.rule) {
			t.Errorf("%s: %v", c.why, err)
		}
	}
	b := demo.Book()
	b.Plant.Substitutes = []plant.Substitute{{For: "TL140", Use: "TL170"}}
	for i := range b.Plant.Grades {
		b.Plant.Grades[i].ECTMin = 1e6
	}
	if err := (plan.Choices{Exchanges: []plan.Exchange{yes}}).Check(b); err == nil || !strings.Contains(err.Error(), "edge crush") {
		t.Errorf("too weak: %v", err)
	}
}
