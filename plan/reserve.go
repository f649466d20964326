package plan

import (
	"math"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
)

// reserveAhead is how long before it is due an order that no run makes yet is
// taken to draw its paper (common practice, no published source).
const reserveAhead = 24 * time.Hour

// Reserve estimates what the open orders that a plan has no run for will draw:
// each by itself, side by side with its own strips, on the web that spends the least
// board on it, a day before it is due. It says how many orders it cannot estimate:
// they have a fault, or no web takes them alone.
func Reserve(book plant.Book, p *Plan, now time.Time) (draws []supply.Draw, unknown int) {
	ix := newIndex(Exchanged(book, p.Exchanges))
	planned := map[string]bool{}
	for _, o := range p.Orders {
		planned[o.Order] = true
	}
	for _, d := range p.Demands {
		planned[d.Release.String()] = planned[d.Release.String()] || d.Wanted == 0 && d.Fault == ""
	}
	for _, w := range wantsBut(ix, now, planned) {
		if w.Fault == "" && w.Wanted == 0 {
			continue
		}
		g, known := ix.grades[w.Grade]
		web, metres := aloneOn(ix, g, w)
		if w.Fault != "" || !known || metres == 0 {
			unknown++
			continue
		}
		at := w.Due.Add(-reserveAhead)
		if at.Before(now) {
			at = now
		}
		for _, ply := range g.Plies {
			draws = append(draws, supply.Draw{Paper: ply.Paper, Web: web, Metres: quantity.Distance(float64(metres) * ply.TakeUp(ix.catalogue)), At: at, Estimated: true})
		}
	}
	return draws, unknown
}

// aloneOn is the web on which an order alone spends the least board, and its length there; 0 where none takes it.
func aloneOn(ix *index, g board.Grade, w want) (web quantity.Length, metres quantity.Distance) {
	limits := ix.book.Plant.Corrugator.Limits
	most := math.MaxInt32
	if limits.MaxOuts != nil {
		most = *limits.MaxOuts
	}
	least := math.Inf(1)
	for _, v := range gradeWebs(ix, g) {
		outs := min(int((v-2*limits.SideTrimMin)/w.Sheet.Slit), most)
		if outs < 1 {
			continue
		}
		length := float64((w.Wanted+outs-1)/outs) * w.Sheet.Chop.Metres()
		if area := length * v.Metres(); area < least {
			least, web, metres = area, v, quantity.FromMetres(length)
		}
	}
	return web, metres
}
