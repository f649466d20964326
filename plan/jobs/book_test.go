package jobs_test

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

// problem states a book to the clock side, without runs.
func problem(t testing.TB, b plant.Book) jobs.Problem {
	t.Helper()
	p := jobs.Problem{
		Now: demo.Now, Calendar: b.Plant.Calendar, Corrugator: b.Plant.Corrugator, Machines: b.Plant.Machines, Stops: b.Plant.Stops,
		Tools: b.Plant.Tools, Cure: b.Plant.Cure, Dispatch: b.Plant.Dispatch, Prices: b.Plant.Prices,
		Boards: map[ident.Grade]corrugator.Board{}, PaperAt: map[int]time.Time{},
	}
	c := board.Catalogue{Papers: map[ident.Paper]board.Paper{}, Flutes: map[ident.Flute]board.Flute{}}
	for _, x := range b.Plant.Papers {
		c.Papers[x.Code] = x
	}
	for _, x := range b.Plant.Flutes {
		c.Flutes[x.Code] = x
	}
	grades := map[ident.Grade]board.Grade{}
	for _, g := range b.Plant.Grades {
		grades[g.Code] = g
		p.Boards[g.Code] = corrugator.Board{Flute: g.Flute, Walls: g.Walls(), White: g.Surface == "white", Grammage: g.BoardGrammage(c)}
	}
	items, roads := map[ident.Item]order.Item{}, map[ident.Customer]quantity.Distance{}
	for _, it := range b.Items {
		items[it.Code] = it
	}
	for _, cu := range b.Customers {
		roads[cu.Code] = cu.Road
	}
	for _, l := range b.Lines {
		it := items[l.Item]
		r := jobs.Release{
			Key: l.Key, Style: it.Style, Grade: it.Grade, PiecesPerSheet: it.PiecesPerSheet, Pieces: l.Quantity, Colours: it.Colours,
			Plate: it.Plate, Die: it.Die, Adhesive: it.Adhesive, Route: it.Route, Due: l.Due, DueAt: l.DueAt, Road: roads[l.Customer],
			Value: l.PricePer1000 * quantity.Money(l.Quantity) / 1000, Priority: l.Priority,
		}
		if it.Sheet != nil {
			r.Sheet = *it.Sheet
		} else {
			at := slices.IndexFunc(b.Plant.Allowances, func(a box.Allowance) bool { return a.Flute == grades[it.Grade].Flute })
			blank, err := box.Compute(it.Style, it.Inside, it.Overlap, b.Plant.Allowances[at])
			if err != nil {
				t.Fatalf("%s: %v", l.Key, err)
			}
			if r.Sheet = blank.Sheet; len(blank.Panels) > 1 {
				r.Panels = blank.Panels[1:]
			}
		}
		p.Releases = append(p.Releases, r)
	}
	return p
}

// withRuns gives every release a run or two of its own, by latest exit within
// grades: lawful for the clock, if not for the trim.
func withRuns(t testing.TB, p jobs.Problem, seed uint64) jobs.Problem {
	t.Helper()
	latest, err := jobs.LatestExits(p)
	if err != nil {
		t.Fatal(err)
	}
	rnd := rand.New(rand.NewPCG(seed, 3))
	order := make([]int, len(p.Releases))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(latest[a].Exit.Truncate(24*time.Hour).Compare(latest[b].Exit.Truncate(24*time.Hour)), cmp.Compare(p.Releases[a].Grade, p.Releases[b].Grade), latest[a].Exit.Compare(latest[b].Exit))
	})
	for _, i := range order {
		r, left := p.Releases[i], latest[i].Sheets
		parts := 1 + rnd.IntN(2)
		for part := range parts {
			outs := max(1, int(2400*quantity.Millimetre/r.Sheet.Slit))
			cuts := (left/(parts-part) + outs - 1) / outs
			if cuts == 0 {
				continue
			}
			p.Runs = append(p.Runs, runs.Run{
				Seq: len(p.Runs) + 1, Grade: r.Grade, Length: (quantity.Length(cuts) * r.Sheet.Chop).Distance(),
				Lanes: []runs.Lane{{Order: r.Key.String(), Level: 1, Outs: outs, Slit: r.Sheet.Slit, Chop: r.Sheet.Chop, Cuts: cuts, Sheets: cuts * outs}},
			})
			left -= cuts * outs
		}
	}
	return p
}

func index(t testing.TB, p jobs.Problem, key string) int {
	t.Helper()
	i := slices.IndexFunc(p.Releases, func(r jobs.Release) bool { return r.Key.String() == key })
	if i < 0 {
		t.Fatalf("no release %s", key)
	}
	return i
}
