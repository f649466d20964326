package rolls

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/roll"
)

// shelf is one paper at one width.
type shelf struct {
	paper ident.Paper
	web   quantity.Length
}

// task is what the runs draw from one shelf, and the rolls that lie on it.
type task struct {
	shelf
	lanes []string // stands
	runs  []draw
	rolls []piece // oldest first, rest rolls before full ones, deliveries last

	splice, buttMin int64
	move            float64 // minutes
	handling        float64
	perMetre        float64 // worth of a metre of paper
	stripped        float64 // cost of a metre stripped: its worth less the waste price
	keepFrom        int64   // a shorter rest is stripped when it comes off

	best  followed
	lists [][]item
	least bound
}

// draw is one run's demand on the shelf.
type draw struct {
	place      int // in the task
	seq        int
	length     float64 // of web, change losses in it, in nanometres
	start, end float64 // minutes from the problem's Now
	at         time.Time
	cells      []cell
}

// cell is one stand of a run.
type cell struct {
	lane int
	need int // place in Answer.Needs
	want int64
	rate float64 // paper a unit of web
	hot  bool    // the stand ran the shelf's paper in the run before: a roll on it stays
	kept bool    // nobody used the stand in between, a roll on it may have stayed
}

// piece is one roll, of the house or of a delivery.
type piece struct {
	roll   ident.Roll
	truck  string
	nth    int
	from   time.Time
	length int64
	rest   bool
	lane   int // on which it stands at first; -1 none
}

// tasks parts the problem by shelves, in the order of first need.
func (p Problem) tasks(needs []PlyNeed) []*task {
	by := map[shelf]*task{}
	var out []*task
	last := map[string]used{}
	at := 0
	for i, r := range p.Runs {
		start, end, from := p.time(r.Seq)
		length := float64(r.Length + p.loss(i))
		now := map[string]used{}
		for ; at < len(needs) && needs[at].Run == r.Seq; at++ {
			n := needs[at]
			k := shelf{n.Paper, n.Web}
			t := by[k]
			if t == nil {
				t = p.task(k)
				by[k] = t
				out = append(out, t)
			}
			if len(t.runs) == 0 || t.runs[len(t.runs)-1].seq != r.Seq {
				t.runs = append(t.runs, draw{place: len(t.runs), seq: r.Seq, length: length, start: start, end: end, at: from})
			}
			d := &t.runs[len(t.runs)-1]
			before := last[n.Stand]
			d.cells = append(d.cells, cell{
				lane: t.lane(n.Stand), need: at, want: int64(n.Metres), rate: float64(n.Metres) / length,
				hot: before == used{k, i - 1}, kept: before.shelf == k || before.shelf == shelf{},
			})
			now[n.Stand] = used{k, i}
		}
		maps.Copy(last, now)
	}
	for _, t := range out {
		p.lay(t)
	}
	return out
}

// used is which shelf a stand ran last, and in which run.
type used struct {
	shelf
	run int
}

func (p Problem) task(k shelf) *task {
	paper := p.Catalogue.Papers[k.paper]
	perMetre := k.web.Metres() * float64(paper.Grammage) / 1000 // t a metre
	t := &task{
		shelf: k, splice: int64(p.SpliceLoss), buttMin: int64(p.ButtMin), move: float64(p.MoveTime),
		handling: float64(p.Handling), perMetre: perMetre * float64(paper.PricePerTonne),
	}
	t.stripped = perMetre * max(0, float64(paper.PricePerTonne-p.WastePerTon))
	t.keepFrom = max(t.buttMin, int64(roll.BreakEvenRest(p.Handling, p.SpliceLoss, quantity.Money(t.stripped), quantity.Money(t.perMetre))))
	return t
}

// time is when a run starts and ends, in minutes from Now.
func (p Problem) time(seq int) (start, end float64, at time.Time) {
	for _, t := range p.Times {
		if t.Run == seq {
			return t.Start.Sub(p.Now).Minutes(), t.End.Sub(p.Now).Minutes(), t.Start
		}
	}
	return 0, 0, p.Now
}

func (t *task) lane(stand string) int {
	if i := slices.Index(t.lanes, stand); i >= 0 {
		return i
	}
	t.lanes = append(t.lanes, stand)
	return len(t.lanes) - 1
}

// lay puts the rolls on the shelf.
func (p Problem) lay(t *task) {
	var list []*roll.Roll
	for i := range p.Rolls {
		if r := &p.Rolls[i]; (shelf{r.Paper, r.Width}) == t.shelf && !r.Hold && r.Length > 0 {
			list = append(list, r)
		}
	}
	rest := func(r *roll.Roll) int {
		if r.Butt {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(list, func(a, b *roll.Roll) int {
		return cmp.Or(cmp.Compare(rest(a), rest(b)), a.Received.Compare(b.Received), cmp.Compare(a.ID, b.ID))
	})
	for _, r := range list {
		t.rolls = append(t.rolls, piece{roll: r.ID, length: int64(r.Length), rest: r.Butt, lane: slices.Index(t.lanes, r.Stand)})
	}
	want := int64(0)
	for _, d := range t.runs {
		for _, c := range d.cells {
			want += c.want
		}
	}
	inbound := slices.Clone(p.Inbound)
	slices.SortStableFunc(inbound, func(a, b roll.Inbound) int { return a.ETA.Compare(b.ETA) })
	for _, in := range inbound {
		if (shelf{in.Paper, in.Width}) != t.shelf || in.LengthEach <= 0 {
			continue
		}
		most := int(math.Ceil(float64(want)/float64(in.LengthEach))) + len(t.lanes) // more of one delivery are never drawn
		for n := range min(in.Rolls, most) {
			t.rolls = append(t.rolls, piece{truck: in.ID, nth: n + 1, from: in.ETA, length: int64(in.LengthEach), lane: -1})
		}
	}
}
