package sheet

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
)

// drawn is what one stand draws over a block of runs, from rolls in order of use.
type drawn struct {
	ply    int
	stand  string
	paper  ident.Paper
	web    quantity.Length
	metres quantity.Distance
	mass   quantity.Mass
	uses   []used
}

// used is a roll on a stand over a block, with the run in which it first comes on.
type used struct {
	rolls.RollUse
	run int
}

// draws sums the needs of a block's runs by ply, paper and web, in the order of
// the stands. A roll that serves several runs is named once with all its metres.
func draws(needs []rolls.PlyNeed, block []runs.Run) []drawn {
	in := map[int]bool{}
	for _, r := range block {
		in[r.Seq] = true
	}
	var out []drawn
	for _, n := range needs {
		if !in[n.Run] {
			continue
		}
		d := drawOf(&out, n)
		d.metres += n.Metres
		d.mass += n.Mass
		for _, u := range n.Rolls {
			d.use(used{u, n.Run})
		}
	}
	return out
}

func drawOf(out *[]drawn, n rolls.PlyNeed) *drawn {
	for i, d := range *out {
		if d.ply == n.Ply && d.paper == n.Paper && d.web == n.Web {
			return &(*out)[i]
		}
	}
	*out = append(*out, drawn{ply: n.Ply, stand: n.Stand, paper: n.Paper, web: n.Web})
	return &(*out)[len(*out)-1]
}

func (d *drawn) use(u used) {
	for i := range d.uses {
		if d.uses[i].Roll == u.Roll && d.uses[i].Truck == u.Truck {
			d.uses[i].Metres += u.Metres
			return
		}
	}
	d.uses = append(d.uses, u)
}

// missing is the length that no roll and no delivery covers; less than a metre is rounding.
func (d drawn) missing() quantity.Distance {
	m := d.metres
	for _, u := range d.uses {
		m -= u.Metres
	}
	if m < quantity.FromMetres(1) {
		return 0
	}
	return m
}
