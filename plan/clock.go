package plan

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
)

// clockProblem states the clock side: every want, with the runs that are known so far.
func clockProblem(ix *index, ws []want, now time.Time, list []runs.Run, paperAt map[int]time.Time) jobs.Problem {
	p := &ix.book.Plant
	out := jobs.Problem{
		Now: now, Calendar: p.Calendar, Corrugator: p.Corrugator, Machines: p.Machines, Stops: stops(ix.book, now), Tools: p.Tools,
		Cure: p.Cure, Dispatch: p.Dispatch, Prices: p.Prices, Boards: boards(ix), Runs: list, PaperAt: paperAt,
		Crews: p.Crews, Overtime: p.Overtime, On: jobsOn(ix.book),
	}
	for _, w := range ws {
		out.Releases = append(out.Releases, clockRelease(ix, w))
	}
	return out
}

func clockRelease(ix *index, w want) jobs.Release {
	most := int(float64(w.line.Quantity) * (1 + w.line.OverPct/100))
	return jobs.Release{
		Key: w.Release, Style: w.item.Style, Grade: w.Grade, Sheet: w.Sheet, Panels: w.spec.Panels,
		PiecesPerSheet: w.PerSheet, Pieces: w.ToMake, MostPieces: max(w.ToMake, most-(w.Boxes-w.ToMake)), OnFloor: w.OnFloor,
		Colours: w.item.Colours, Plate: w.item.Plate, Die: w.item.Die, Adhesive: w.item.Adhesive, Route: w.item.Route,
		SheetCost: w.grade.PaperPrice(ix.catalogue) * quantity.Money(w.Sheet.Area()),
		Due:       w.Due, DueAt: w.line.DueAt, Road: ix.customers[w.Customer].Road,
		Value: pricePerSheet(ix, w) / quantity.Money(w.PerSheet) * quantity.Money(w.line.Quantity), Priority: w.line.Priority,
	}
}

// latest works out the latest corrugator exit of each want, by release.
func latest(ix *index, ws []want, now time.Time) (map[ident.Release]jobs.Latest, error) {
	ls, err := jobs.LatestExits(clockProblem(ix, ws, now, nil, nil))
	if err != nil {
		return nil, err
	}
	out := make(map[ident.Release]jobs.Latest, len(ws))
	for i, l := range ls {
		out[ws[i].Release] = l
	}
	return out, nil
}
