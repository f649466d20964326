package plan

import (
	"cmp"
	"context"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/roll"
)

// maxParts is how many runs one order is spread over at most: each part adds a
// stack, a label and a shade risk (common practice, no published source).
const maxParts = 3

const (
	// stockMargin is left of each paper and width for the metres that changes lose.
	stockMargin = 150 * quantity.Distance(quantity.Metre)
	// restShare, up to restMost, is left of a paper that a grade holds on two
	// stands at once: the last rolls cannot be halved between them.
	restShare = 20
	restMost  = 1250 * quantity.Distance(quantity.Metre)
)

// trimProblem states the corrugator's problem: the plant's machine, the paper
// on hand, and one order a want. Nobody plans to ship short: the window under
// the wanted number is closed, see loosened.
func trimProblem(ix *index, ws []want, stock map[roll.PaperWeb]quantity.Distance) runs.Problem {
	limits := ix.book.Plant.Corrugator.Limits
	limits.MinuteCost = minuteCost(ix.book.Plant.Corrugator)
	p := runs.Problem{Corrugator: limits}
	for _, g := range ix.book.Plant.Grades {
		p.Grades = append(p.Grades, trimGrade(ix, g))
	}
	p.Papers = trimStock(stock, onTwoStands(ix))
	for _, w := range ws {
		p.Orders = append(p.Orders, runs.Order{
			Order: w.Release.String(), Grade: w.Grade, Slit: w.Sheet.Slit, Chop: w.Sheet.Chop, Scores: w.Sheet.Scores,
			Adhesive: w.item.Adhesive, Sheets: w.Wanted, OverPct: w.line.OverPct, MaxParts: maxParts,
			ShortCost: pricePerSheet(ix, w), UpgradeBarred: !w.item.UpgradeAllowed, Due: w.Due,
		})
	}
	return p
}

// minuteCost is the price of a corrugator minute: dear when it is the
// bottleneck, cheap when it is not.
func minuteCost(c corrugator.Corrugator) quantity.Money {
	if c.Bottleneck {
		return c.CostPerHour / 60
	}
	return c.IdleCostPerHour / 60
}

// pricePerSheet is what one sheet's boxes sell for.
func pricePerSheet(ix *index, w want) quantity.Money {
	per1000 := w.line.PricePer1000
	if per1000 == 0 {
		per1000 = ix.book.Plant.Prices.DefaultPer1000
	}
	return per1000 / 1000 * quantity.Money(w.PerSheet)
}

func trimGrade(ix *index, g board.Grade) runs.Grade {
	price := g.PaperPrice(ix.catalogue)
	credit := g.WasteCredit(ix.catalogue, ix.book.Plant.Prices.WasteCreditPerTonne)
	out := runs.Grade{Grade: g.Code, PricePerM2: &price, WasteCredit: min(credit, price), Webs: gradeWebs(ix, g), MayUpgradeTo: g.UpgradeTo}
	for _, ply := range g.Plies {
		out.Plies = append(out.Plies, runs.Ply{Paper: ply.Paper, TakeUp: ply.TakeUp(ix.catalogue)})
	}
	c := ix.book.Plant.Corrugator
	out.Speed = c.Speed(boardOf(ix, g, ""), quantity.FromMetres(1e6)).Average
	return out
}

// gradeWebs are the corrugator's webs in which every paper of the grade is stocked.
func gradeWebs(ix *index, g board.Grade) []quantity.Length {
	out := []quantity.Length{}
	narrowed := ix.widths(g.Code)
	for _, web := range ix.book.Plant.Corrugator.Limits.Webs {
		stocked := narrowed == nil || slices.Contains(narrowed, web)
		for _, ply := range g.Plies {
			stocked = stocked && slices.Contains(ix.catalogue.Papers[ply.Paper].Webs, web)
		}
		if stocked {
			out = append(out, web)
		}
	}
	return out
}

// houseStock returns the usable metres in the house by paper and stocked
// width: rolls on hold do not count, and a stocked width without a roll is 0.
// It is nil for a book that states no rolls at all: then paper sets no limit.
func houseStock(ix *index) map[roll.PaperWeb]quantity.Distance {
	if len(ix.book.Rolls) == 0 {
		return nil
	}
	stock := map[roll.PaperWeb]quantity.Distance{}
	for _, p := range ix.book.Plant.Papers {
		for _, web := range p.Webs {
			stock[roll.PaperWeb{Paper: p.Code, Web: web}] = 0
		}
	}
	for _, r := range ix.book.Rolls {
		if !r.Hold {
			stock[roll.PaperWeb{Paper: r.Paper, Web: r.Width}] += r.Length
		}
	}
	return stock
}

// onTwoStands names the papers that some grade holds more than once.
func onTwoStands(ix *index) map[ident.Paper]bool {
	twice := map[ident.Paper]bool{}
	for _, g := range ix.book.Plant.Grades {
		seen := map[ident.Paper]bool{}
		for _, ply := range g.Plies {
			twice[ply.Paper] = twice[ply.Paper] || seen[ply.Paper]
			seen[ply.Paper] = true
		}
	}
	return twice
}

func trimStock(stock map[roll.PaperWeb]quantity.Distance, twice map[ident.Paper]bool) []runs.Stock {
	by := map[ident.Paper]map[quantity.Length]quantity.Distance{}
	for k, metres := range stock {
		if by[k.Paper] == nil {
			by[k.Paper] = map[quantity.Length]quantity.Distance{}
		}
		margin := stockMargin
		if twice[k.Paper] {
			margin += min(metres/restShare, restMost)
		}
		by[k.Paper][k.Web] = max(0, metres-margin)
	}
	out := make([]runs.Stock, 0, len(by))
	for paper, metres := range by {
		out = append(out, runs.Stock{Paper: paper, Metres: metres})
	}
	slices.SortFunc(out, func(a, b runs.Stock) int { return cmp.Compare(a.Paper, b.Paper) })
	return out
}

// solveRuns asks for the wanted sheets first. Orders that no legal run makes
// are then asked for with their under-delivery window open, priced at what the
// missing boxes would have sold for; that search goes on from the first plan.
func solveRuns(ctx context.Context, ix *index, ws []want, exits map[ident.Release]jobs.Latest, opt Options) (runs.Problem, runs.Answer, error) {
	house := houseStock(ix)
	problem := trimProblem(ix, ws, withInbound(ix, house, opt.Now))
	barWebs(ix, &problem, ws, house, exits, opt.Now)
	opt.Choices.onRuns(&problem)
	problem.Frozen = opt.Front.Runs
	seconds := cmp.Or(opt.Seconds, defaultSeconds)
	ro := runs.Options{Seconds: seconds * firstShare, Rounds: opt.Rounds, Seed: opt.Seed, OnProgress: func(p runs.Progress) {
		if opt.OnProgress != nil {
			opt.OnProgress(Progress{Stage: "runs", Cost: p.Cost, Bound: p.Bound, Seconds: p.Seconds})
		}
	}}
	answer, err := runs.Solve(ctx, problem, ro)
	if err != nil || ctx.Err() != nil {
		return problem, answer, err
	}
	second := loosen(problem, ws, answer.Unplanned)
	ro.Seconds, ro.Start = seconds*(1-firstShare), &answer
	again, err := runs.Solve(ctx, second, ro)
	if err != nil || len(again.Unplanned) > len(answer.Unplanned) {
		return problem, answer, err
	}
	return second, again, nil
}

const (
	defaultSeconds = 3.0 // of search where Options name none
	firstShare     = 0.7 // of the time goes to the search with closed windows
)

// loosen opens the under-delivery window of the orders that were left.
func loosen(p runs.Problem, ws []want, left []runs.Unplanned) runs.Problem {
	open := map[string]bool{}
	for _, u := range left {
		open[u.Order] = true
	}
	p.Orders = slices.Clone(p.Orders)
	for i := range p.Orders {
		if open[p.Orders[i].Order] {
			p.Orders[i].UnderPct = ws[i].line.UnderPct
		}
	}
	return p
}
