package waste

import (
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
)

// OfRun is the planned waste of a plan's run; nil where it has no such run.
func OfRun(b plant.Book, p *plan.Plan, seq int) []Part {
	at := slices.IndexFunc(p.Runs, func(r runs.Run) bool { return r.Seq == seq })
	if at < 0 {
		return nil
	}
	var before *runs.Run
	if at > 0 {
		before = &p.Runs[at-1]
	}
	return Run(p.Runs[at], before, b.Plant.Corrugator.Limits, grammage(b, p, p.Runs[at].Grade))
}

// OfJob is the planned waste of a plan's job of a release on a machine, by the
// plan's sheet and the book's item; nil where the plan has no such job.
func OfJob(b plant.Book, p *plan.Plan, r ident.Release, m ident.Machine) []Part {
	at := slices.IndexFunc(p.Clock.Jobs, func(j jobs.Job) bool { return j.Release == r && j.Machine == m })
	d := slices.IndexFunc(p.Demands, func(d plan.Demand) bool { return d.Release == r })
	on := slices.IndexFunc(b.Plant.Machines, func(v convert.Machine) bool { return v.Code == m })
	if at < 0 || d < 0 || on < 0 {
		return nil
	}
	demand, job := p.Demands[d], p.Clock.Jobs[at]
	item := order.Item{}
	if i := slices.IndexFunc(b.Items, func(i order.Item) bool { return i.Code == demand.Item }); i >= 0 {
		item = b.Items[i]
	}
	item.PiecesPerSheet = max(demand.PerSheet, 1)
	cut, cuts := CutOutOf(item, demand.Sheet, allowance(b, demand.Grade)), CutsOn(kinds(b, demand, item))
	f := Fed{
		Machine: b.Plant.Machines[on], Step: job.Step, Colours: item.Colours, Sheets: job.Sheets, Pieces: job.Pieces, PerFed: 1,
		Piece: demand.Sheet.Area() / quantity.Area(item.PiecesPerSheet),
	}
	if job.Step <= 1 {
		f.PerFed = item.PiecesPerSheet
	}
	switch {
	case job.Step > cuts:
		f.Piece = max(0, f.Piece-cut.Area)
	case job.Step == cuts:
		f.Cut = cut
	}
	return Job(f, grammage(b, p, demand.Grade))
}

// kinds are those of the machines on a demand's route, else of its item's style.
func kinds(b plant.Book, d plan.Demand, i order.Item) []convert.Kind {
	if len(d.Route) == 0 {
		return convert.Steps(i.Style)
	}
	var out []convert.Kind
	for _, code := range d.Route {
		for _, m := range b.Plant.Machines {
			if m.Code == code {
				out = append(out, m.Kind)
			}
		}
	}
	return out
}

func allowance(b plant.Book, grade ident.Grade) *box.Allowance {
	for _, g := range b.Plant.Grades {
		for i, a := range b.Plant.Allowances {
			if g.Code == grade && a.Flute == g.Flute {
				return &b.Plant.Allowances[i]
			}
		}
	}
	return nil
}

// grammage of a grade with the papers that stand in for others in the plan; 0
// where the plant does not know it.
func grammage(b plant.Book, p *plan.Plan, grade ident.Grade) quantity.Grammage {
	for _, g := range plan.Exchanged(b, p.Exchanges).Plant.Grades {
		if g.Code == grade {
			return g.BoardGrammage(board.NewCatalogue(b.Plant.Papers, b.Plant.Flutes))
		}
	}
	return 0
}
