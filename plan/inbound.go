package plan

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/roll"
)

// horizon is how far ahead a delivery counts: later ones are the next plan's.
const horizon = 4 * 24 * time.Hour

// enoughInHouse is the paper at one width from which an order does not have to
// wait for the next delivery of it.
const enoughInHouse = 2500 * quantity.Distance(quantity.Metre)

// truckBuffer stands between a delivery and the latest corrugator exit of an
// order that may run on it: unloading, the queue at the corrugator and the press
// (common practice, no published source).
const truckBuffer = 4 * time.Hour

// withInbound adds the deliveries due within the horizon to the stock.
func withInbound(ix *index, stock map[roll.PaperWeb]quantity.Distance, now time.Time) map[roll.PaperWeb]quantity.Distance {
	if stock == nil {
		return nil
	}
	out := make(map[roll.PaperWeb]quantity.Distance, len(stock))
	for k, v := range stock {
		out[k] = v
	}
	for _, in := range ix.book.Inbound {
		if in.ETA.After(now) && in.ETA.Before(now.Add(horizon)) {
			out[roll.PaperWeb{Paper: in.Paper, Web: in.Width}] += in.Metres()
		}
	}
	return out
}

// barWebs keeps each urgent order off the widths whose paper is still on the
// road: those of its grades that the house barely has, and whose next delivery
// comes after the order must be off the corrugator.
func barWebs(ix *index, p *runs.Problem, ws []want, stock map[roll.PaperWeb]quantity.Distance, exits map[ident.Release]jobs.Latest, now time.Time) {
	next := map[roll.PaperWeb]time.Time{}
	for _, in := range ix.book.Inbound {
		k := roll.PaperWeb{Paper: in.Paper, Web: in.Width}
		if at, known := next[k]; in.ETA.After(now) && (!known || in.ETA.Before(at)) {
			next[k] = in.ETA
		}
	}
	for i, w := range ws {
		for k, eta := range next {
			if stock[k] >= enoughInHouse || exits[w.Release].Exit.Add(-truckBuffer).After(eta) || !draws(ix, w, k.Paper) {
				continue
			}
			if o := &p.Orders[i]; !slices.Contains(o.BarredWebs, k.Web) {
				o.BarredWebs = append(o.BarredWebs, k.Web)
			}
		}
		slices.Sort(p.Orders[i].BarredWebs)
	}
}

// draws reports whether an order's grade, or one it may be upgraded to, holds the paper.
func draws(ix *index, w want, paper ident.Paper) bool {
	codes := []ident.Grade{w.Grade}
	if w.item.UpgradeAllowed {
		codes = append(codes, w.grade.UpgradeTo...)
	}
	for _, code := range codes {
		for _, ply := range ix.grades[code].Plies {
			if ply.Paper == paper {
				return true
			}
		}
	}
	return false
}

// paperReady says from when each run has its paper, by seq: runs draw on the
// house in sequence, and the first that it does not cover waits for the
// deliveries that do. A run that no delivery covers is not held back here; the
// rolls station reports it.
func paperReady(ix *index, list []runs.Run, now time.Time) map[int]time.Time {
	stock := houseStock(ix)
	if stock == nil {
		return nil
	}
	trucks := slices.Clone(ix.book.Inbound)
	slices.SortStableFunc(trucks, func(a, b roll.Inbound) int { return a.ETA.Compare(b.ETA) })
	drawn := map[roll.PaperWeb]quantity.Distance{}
	out := map[int]time.Time{}
	for _, r := range list {
		for _, ply := range ix.grades[r.Grade].Plies {
			k := roll.PaperWeb{Paper: ply.Paper, Web: r.Web}
			drawn[k] += quantity.FromMetres(r.Length.Metres() * ply.TakeUp(ix.catalogue))
			have := stock[k]
			for _, in := range trucks {
				if drawn[k] <= have {
					break
				}
				if in.Paper == k.Paper && in.Width == k.Web {
					have += in.Metres()
					if in.ETA.After(out[r.Seq]) && in.ETA.After(now) {
						out[r.Seq] = in.ETA
					}
				}
			}
		}
	}
	return out
}
