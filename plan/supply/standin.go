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

// Planned is what a plan's runs draw.
type Planned struct {
	Runs   []runs.Run
	Needs  []rolls.PlyNeed
	Items  func(run int) []ident.Item // on each run
	Grades []board.Grade
}

// StandIns lists what the plant permits in place of each paper and width whose
// level is short, in the levels' sequence, what it frees and what it costs. A
// permission for some items holds only for runs that make nothing else.
func StandIns(p Problem, levels []Level, list []plant.Substitute, of Planned) []StandIn {
	free := make(map[shelf]quantity.Distance, len(levels))
	for _, l := range levels {
		free[shelf{l.Paper, l.Web}] = l.Free
	}
	grade := make(map[int]ident.Grade, len(of.Runs))
	for _, r := range of.Runs {
		grade[r.Seq] = r.Grade
	}
	drawn := map[shelf][]rolls.PlyNeed{}
	for _, l := range levels {
		if l.Short > 0 {
			drawn[shelf{l.Paper, l.Web}] = nil
		}
	}
	for _, n := range of.Needs {
		k := shelf{n.Paper, n.Web}
		if list, short := drawn[k]; short {
			drawn[k] = append(list, n)
		}
	}
	var out []StandIn
	for _, l := range levels {
		if k := (shelf{l.Paper, l.Web}); len(drawn[k]) > 0 {
			out = append(out, standIns(p, k, drawn[k], free, grade, list, of)...)
		}
	}
	return out
}

// standIns are those of one paper at one width.
func standIns(p Problem, at shelf, needs []rolls.PlyNeed, free map[shelf]quantity.Distance, grade map[int]ident.Grade, list []plant.Substitute, of Planned) []StandIn {
	paper, web := at.paper, at.web
	var out []StandIn
	for _, s := range list {
		if s.For != paper || len(s.Widths) > 0 && !slices.Contains(s.Widths, web) {
			continue
		}
		for _, g := range of.Grades {
			for k, ply := range g.Plies {
				if ply.Paper != paper || len(s.Plies) > 0 && !slices.Contains(s.Plies, k+1) || len(s.Grades) > 0 && !slices.Contains(s.Grades, g.Code) {
					continue
				}
				v := StandIn{Grade: g.Code, Ply: k + 1, Web: web, For: paper, Use: s.Use, Free: free[shelf{s.Use, web}], Note: s.Note}
				for _, n := range needs {
					if grade[n.Run] == g.Code && n.Ply == k+1 && permits(s, of.Items, n.Run) {
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
