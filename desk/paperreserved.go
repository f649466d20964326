package desk

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/supply"
)

// PaperReserved is the paper that open orders reserve over the next days.
type PaperReserved struct {
	Days    []time.Time   // ends of days, in the plant's zone
	Rows    []ReservedRow // of papers that are reserved, shortages first
	Unknown int           // open orders that could not be estimated
}

// ReservedRow is one paper at one width with its stock at the end of each day.
type ReservedRow struct {
	supply.Level
	Stock []quantity.Distance
}

// reservedDays is how many days the table looks ahead.
const reservedDays = 6

// PaperReserved sets what the plan's runs draw, and by estimate what open orders
// without a run will, against the house and what is on the way.
func (s *Snapshot) PaperReserved(p *plan.Plan, id ident.Plan, now time.Time) PaperReserved {
	var out PaperReserved
	problem := s.supplyProblem(now)
	problem.Draws = supply.DrawsOf(p.Rolls, s.runTimes(p, id, now), now)
	more, unknown := plan.Reserve(s.Book, p, now)
	problem.Draws, out.Unknown = append(problem.Draws, more...), unknown
	y, m, d := now.In(s.zone).Date()
	for k := range reservedDays {
		out.Days = append(out.Days, time.Date(y, m, d+k+1, 0, 0, 0, 0, s.zone).Add(-time.Minute))
	}
	for _, l := range supply.Levels(problem) {
		if l.Reserved == 0 {
			continue
		}
		row := ReservedRow{Level: l}
		for _, day := range out.Days {
			row.Stock = append(row.Stock, l.StockAt(day))
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}
