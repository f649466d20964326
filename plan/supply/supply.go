// Package supply looks ahead at paper: what is reserved paper by paper and width
// by width, what is free, what must be called off by when, and what may stand in.
package supply

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/roll"
)

// Draw is paper that open orders will take at a moment.
type Draw struct {
	Run    int
	Paper  ident.Paper
	Web    quantity.Length
	Metres quantity.Distance
	At     time.Time

	Estimated bool // no run makes it yet
}

// DrawsOf are the draws of a plan's runs that are not through at a moment.
func DrawsOf(a rolls.Answer, times []jobs.RunTime, now time.Time) []Draw {
	by := make(map[int]jobs.RunTime, len(times))
	for _, t := range times {
		by[t.Run] = t
	}
	out := make([]Draw, 0, len(a.Needs))
	for _, n := range a.Needs {
		if t := by[n.Run]; t.End.After(now) {
			out = append(out, Draw{Run: n.Run, Paper: n.Paper, Web: n.Web, Metres: n.Metres, At: t.Start})
		}
	}
	return out
}

// Problem is what is drawn, what there is, and where more comes from.
type Problem struct {
	Draws     []Draw
	Rolls     []roll.Roll
	Inbound   []roll.Inbound
	Supplies  []plant.Supply
	Catalogue board.Catalogue
	Zone      *time.Location         // of the hours to call; nil: UTC
	Closed    func(t time.Time) bool // days on which nobody calls; nil: none
	GateToUse quantity.Minutes       // unloading, the check on receipt, the way to the stand; 0: 120
	MostCalls int                    // 0: 15
	Now       time.Time
}

// gateToUse stands between a truck at the gate and its rolls on a stand where
// the problem does not say (common practice, no published source).
const gateToUse quantity.Minutes = 120

const mostCalls = 15

// Level is one paper at one width over time.
type Level struct {
	Paper     ident.Paper
	Web       quantity.Length
	House     quantity.Distance // not on hold
	Held      quantity.Distance
	Coming    quantity.Distance
	Reserved  quantity.Distance
	Estimated quantity.Distance // of it, by orders that no run makes yet
	Free      quantity.Distance // may be taken now and leaves nothing short later
	Points    []Point           // stock after each draw and delivery, in time
	ShortAt   time.Time         // when the stock first falls below nothing; zero: never
	Short     quantity.Distance // the deepest it falls
}

// Point is the stock at a moment.
type Point struct {
	At    time.Time
	Stock quantity.Distance // below 0: metres that are missing
}

type shelf struct {
	paper ident.Paper
	web   quantity.Length
}

// Levels follows the stock of every paper and width that is kept, coming or
// drawn, shortages first, the earliest ahead.
func Levels(p Problem) []Level {
	by := map[shelf]*Level{}
	at := func(paper ident.Paper, web quantity.Length) *Level {
		k := shelf{paper, web}
		if by[k] == nil {
			by[k] = &Level{Paper: paper, Web: web}
		}
		return by[k]
	}
	count := map[shelf]int{} // of its moves
	for i := range p.Inbound {
		count[shelf{p.Inbound[i].Paper, p.Inbound[i].Width}]++
	}
	for i := range p.Draws {
		count[shelf{p.Draws[i].Paper, p.Draws[i].Web}]++
	}
	moves := make(map[shelf][]Point, len(count)) // Stock holds the change here
	for k, n := range count {
		moves[k] = make([]Point, 0, n)
	}
	for _, r := range p.Rolls {
		if l := at(r.Paper, r.Width); r.Hold {
			l.Held += r.Length
		} else {
			l.House += r.Length
		}
	}
	for _, in := range p.Inbound {
		at(in.Paper, in.Width).Coming += in.Metres()
		k := shelf{in.Paper, in.Width}
		moves[k] = append(moves[k], Point{in.ETA, in.Metres()})
	}
	for _, d := range p.Draws {
		l := at(d.Paper, d.Web)
		if l.Reserved += d.Metres; d.Estimated {
			l.Estimated += d.Metres
		}
		k := shelf{d.Paper, d.Web}
		moves[k] = append(moves[k], Point{d.At, -d.Metres})
	}
	out := make([]Level, 0, len(by))
	for k, l := range by {
		l.walk(p.Now, moves[k])
		out = append(out, *l)
	}
	slices.SortFunc(out, func(a, b Level) int {
		late := func(l Level) int64 {
			if l.Short == 0 {
				return 1 << 62
			}
			return l.ShortAt.Unix()
		}
		return cmp.Or(cmp.Compare(late(a), late(b)), cmp.Compare(a.Paper, b.Paper), cmp.Compare(a.Web, b.Web))
	})
	return out
}

// walk follows the stock through the moves. What comes at the moment of a draw is there for it.
func (l *Level) walk(now time.Time, moves []Point) {
	slices.SortStableFunc(moves, func(a, b Point) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(b.Stock, a.Stock)) })
	stock, least := l.House, l.House
	l.Points = append(make([]Point, 0, 1+len(moves)), Point{now, stock})
	for _, m := range moves {
		stock += m.Stock
		l.Points = append(l.Points, Point{m.At, stock})
		least = min(least, stock)
		if stock < -quantity.FromMetres(1) && l.ShortAt.IsZero() {
			l.ShortAt = m.At
		}
	}
	l.Free = max(0, least)
	if !l.ShortAt.IsZero() {
		l.Short = -least
	}
}

// StockAt is the stock after all that moves up to a moment.
func (l *Level) StockAt(t time.Time) quantity.Distance {
	stock := l.House
	for _, p := range l.Points {
		if !p.At.After(t) {
			stock = p.Stock
		}
	}
	return stock
}
