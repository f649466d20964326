package rolls

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/plant/roll"
)

// Positions sets what runs need against the rolls and deliveries of the problem:
// the widths that are needed or stocked, shortages first. Of the problem it reads
// Rolls, Inbound, Times and Now.
func (p Problem) Positions(needs []PlyNeed) []Position {
	b := books{by: map[shelf]*Position{}}
	p.stock(&b)
	starts := make(map[int]time.Time, len(p.Times))
	for _, t := range p.Times {
		starts[t.Run] = t.Start
	}
	for _, n := range needs {
		at, known := starts[n.Run]
		if !known {
			at = p.Now
		}
		b.book(n, at)
	}
	out := []Position{}
	for _, k := range b.order {
		v := *b.by[k]
		if v.Short = max(0, v.Need-v.House); v.Short > 0 {
			v.EndedBy = p.endedBy(v)
		}
		out = append(out, v)
	}
	slices.SortStableFunc(out, func(a, b Position) int {
		short := func(p Position) int {
			switch {
			case p.Short <= 0:
				return 2
			case p.EndedBy != nil && p.EndedBy.InTime:
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(short(a), short(b)), cmp.Compare(b.Short, a.Short), cmp.Compare(a.Paper, b.Paper), cmp.Compare(a.Web, b.Web))
	})
	return out
}

// books are the positions in the order of first sight.
type books struct {
	by    map[shelf]*Position
	order []shelf
}

func (b *books) at(k shelf) *Position {
	if b.by[k] == nil {
		b.by[k] = &Position{Paper: k.paper, Web: k.web}
		b.order = append(b.order, k)
	}
	return b.by[k]
}

func (p Problem) stock(b *books) {
	for _, r := range p.Rolls {
		if at := b.at(shelf{r.Paper, r.Width}); r.Hold {
			at.Held += r.Length
		} else {
			at.House += r.Length
		}
	}
	for _, in := range p.Inbound {
		b.at(shelf{in.Paper, in.Width}).Inbound += in.Metres()
	}
}

// book adds a ply's need to its position, and notes the first run that the house does not cover.
func (b *books) book(n PlyNeed, at time.Time) {
	pos := b.at(shelf{n.Paper, n.Web})
	pos.Need += n.Metres
	pos.NeedMass += n.Mass
	if pos.Need > pos.House && pos.ShortRun == 0 {
		pos.ShortRun, pos.ShortAt = n.Run, at
	}
	left := n.Metres
	for _, u := range n.Rolls {
		left -= u.Metres
	}
	if left > tolerance && pos.Note == "" {
		pos.Note = fmt.Sprintf("run %d lacks %.0f m when it starts", n.Run, left.Metres())
	}
}

// endedBy is the delivery after which the position's need is covered, nil where none is enough.
func (p Problem) endedBy(v Position) *Truck {
	inbound := slices.Clone(p.Inbound)
	slices.SortStableFunc(inbound, func(a, b roll.Inbound) int { return a.ETA.Compare(b.ETA) })
	have := v.House
	for _, in := range inbound {
		if in.Paper != v.Paper || in.Width != v.Web {
			continue
		}
		if have += in.Metres(); have >= v.Need {
			return &Truck{ID: in.ID, ETA: in.ETA, Metres: in.Metres(), InTime: !in.ETA.After(v.ShortAt)}
		}
	}
	return nil
}
