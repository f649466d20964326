package supply

import (
	"cmp"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
)

// StandIn is a paper that may take the place of another in one ply of a grade
// at one width. It is an offer: nothing is exchanged unless a person says so.
type StandIn struct {
	Grade   ident.Grade
	Ply     int // 1 is the outside
	Web     quantity.Length
	For     ident.Paper
	Use     ident.Paper
	Runs    []int             // that may take it
	Need    quantity.Distance // of these runs' ply
	Free    quantity.Distance // of the other paper at the width
	Frees   quantity.Distance // of the paper that is short: the lesser of the two
	PerM2   quantity.Money    // price difference a square metre of board; below 0 it is cheaper
	Price   quantity.Money    // for what it frees
	Before  quantity.LineLoad // edge crush by summed strength, stated values aside; 0: not known
	After   quantity.LineLoad
	Least   quantity.LineLoad // that the grade must have
	TooWeak bool              // After is below Least
	Note    string
}

// StandIns lists what the plant permits in place of a paper at a width, what it
// frees and what it costs. items names the items on each run: a permission for
// some items holds only for runs that make nothing else.
func StandIns(p Problem, list []plant.Substitute, grades []board.Grade, planned []runs.Run, needs []rolls.PlyNeed, items func(run int) []ident.Item, paper ident.Paper, web quantity.Length) []StandIn {
	free := map[shelf]quantity.Distance{}
	for _, l := range Levels(p) {
		free[shelf{l.Paper, l.Web}] = l.Free
	}
	of := map[int]ident.Grade{}
	for _, r := range planned {
		of[r.Seq] = r.Grade
	}
	var out []StandIn
	for _, s := range list {
		if s.For != paper || len(s.Widths) > 0 && !slices.Contains(s.Widths, web) {
			continue
		}
		for _, g := range grades {
			for k, ply := range g.Plies {
				if ply.Paper != paper || len(s.Plies) > 0 && !slices.Contains(s.Plies, k+1) || len(s.Grades) > 0 && !slices.Contains(s.Grades, g.Code) {
					continue
				}
				v := StandIn{Grade: g.Code, Ply: k + 1, Web: web, For: paper, Use: s.Use, Free: free[shelf{s.Use, web}], Note: s.Note}
				for _, n := range needs {
					if of[n.Run] == g.Code && n.Ply == k+1 && n.Web == web && n.Paper == paper && permits(s, items, n.Run) {
						v.Runs = append(v.Runs, n.Run)
						v.Need += n.Metres
					}
				}
				if v.Need > 0 && v.Free > 0 {
					out = append(out, v.priced(p.Catalogue, g))
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b StandIn) int {
		weak := func(v StandIn) int {
			if v.TooWeak {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(weak(a), weak(b)), cmp.Compare(b.Frees, a.Frees), cmp.Compare(a.Price, b.Price))
	})
	return out
}

func permits(s plant.Substitute, items func(run int) []ident.Item, run int) bool {
	if len(s.Items) == 0 {
		return true
	}
	for _, i := range items(run) {
		if !slices.Contains(s.Items, i) {
			return false
		}
	}
	return true
}

// priced works out what the exchange costs and what the board is left with.
func (v StandIn) priced(c board.Catalogue, g board.Grade) StandIn {
	other := g
	other.Plies = slices.Clone(g.Plies)
	other.Plies[v.Ply-1].Paper = v.Use
	g.StatedECT, other.StatedECT = 0, 0
	v.Before, _ = g.ECT(c)
	v.After, _ = other.ECT(c)
	v.Least = g.ECTMin
	v.TooWeak = v.After > 0 && v.After < v.Least
	v.Frees = min(v.Need, v.Free)
	v.PerM2 = other.PaperPrice(c) - g.PaperPrice(c)
	boardMetres := v.Frees.Metres() / g.Plies[v.Ply-1].TakeUp(c)
	v.Price = v.PerM2 * quantity.Money(boardMetres*v.Web.Metres())
	return v
}
