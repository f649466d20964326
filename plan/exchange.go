package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/order"
)

// Exchange is a substitute that a person has said yes to: in one ply of a grade,
// another paper stands on every run of a plan.
type Exchange struct {
	Grade ident.Grade `json:"grade"`
	Ply   int         `json:"ply"` // 1 is the outside
	For   ident.Paper `json:"for"`
	Use   ident.Paper `json:"use"`
}

// Exchanged is a book as its runs are with these papers exchanged. The stated edge
// crush of a grade goes where its papers' own values are known, for it was of other papers.
func Exchanged(b plant.Book, exchanges []Exchange) plant.Book {
	if len(exchanges) == 0 {
		return b
	}
	c := board.NewCatalogue(b.Plant.Papers, b.Plant.Flutes)
	b.Plant.Grades = slices.Clone(b.Plant.Grades)
	for i := range b.Plant.Grades {
		g := &b.Plant.Grades[i]
		for _, s := range exchanges {
			if s.Grade != g.Code || s.Ply < 1 || s.Ply > len(g.Plies) {
				continue
			}
			g.Plies = slices.Clone(g.Plies)
			g.Plies[s.Ply-1].Paper = s.Use
			own := *g
			own.StatedECT = 0
			if v, _ := own.ECT(c); v > 0 {
				*g = own
			}
		}
	}
	return b
}

// rule is what permits a swap: the plant's widest substitute rule for it.
func (s Exchange) rule(p plant.Plant) (plant.Substitute, bool) {
	for _, r := range p.Substitutes {
		if r.For == s.For && r.Use == s.Use && (len(r.Plies) == 0 || slices.Contains(r.Plies, s.Ply)) && (len(r.Grades) == 0 || slices.Contains(r.Grades, s.Grade)) {
			return r, true
		}
	}
	return plant.Substitute{}, false
}

// widths are those at which a grade may run with its exchanges; nil: as its papers say.
func (ix *index) widths(g ident.Grade) []quantity.Length {
	var out []quantity.Length
	for _, s := range ix.choices.Exchanges {
		r, _ := s.rule(ix.book.Plant)
		switch {
		case s.Grade != g || len(r.Widths) == 0:
		case out == nil:
			out = slices.Clone(r.Widths)
		default:
			out = slices.DeleteFunc(out, func(w quantity.Length) bool { return !slices.Contains(r.Widths, w) })
		}
	}
	return out
}

// checkExchanges adds what the plant, its items or the board's strength do not allow.
// The index is of the book without exchanges.
func (c Choices) checkExchanges(vs *fault.Violations, ix *index) {
	seen := map[Exchange]bool{}
	for i, s := range c.Exchanges {
		at := fmt.Sprintf("exchanges[%d]", i)
		g, known := ix.grades[s.Grade]
		vs.Require(known, at+".grade", string(s.Grade), "is not a grade of the plant")
		if !known {
			continue
		}
		if s.Ply < 1 || s.Ply > len(g.Plies) || g.Plies[s.Ply-1].Paper != s.For {
			vs.Add(at+".ply", fmt.Sprint(s.Ply), fmt.Sprintf("ply %d of %s is not %s", s.Ply, s.Grade, s.For), "")
			continue
		}
		place := Exchange{Grade: s.Grade, Ply: s.Ply}
		vs.Require(!seen[place], at, string(s.Use), "that ply has a substitute already")
		seen[place] = true
		r, permitted := s.rule(ix.book.Plant)
		if !permitted {
			vs.Add(at+".use", string(s.Use), fmt.Sprintf("the plant permits no %s for %s in ply %d of %s", s.Use, s.For, s.Ply, s.Grade), "state it under the plant's substitutes")
			continue
		}
		if barred := itemsBeside(ix.book, s.Grade, r.Items); len(barred) > 0 {
			vs.Add(at+".use", string(s.Use), fmt.Sprintf("%s is open on %s and does not permit it", strings.Join(barred, ", "), s.Grade), "permit it for the item, or move its lines to another grade")
		}
		after := Exchanged(ix.book, []Exchange{s})
		for _, v := range after.Plant.Grades {
			if ect, _ := v.ECT(ix.catalogue); v.Code == s.Grade && ect > 0 && ect < v.ECTMin {
				vs.Add(at+".use", string(s.Use), fmt.Sprintf("leaves %s at an edge crush of %.2f kN/m, below its %.2f", s.Grade, ect.KilonewtonsPerMetre(), v.ECTMin.KilonewtonsPerMetre()), "take a stronger paper")
			}
		}
	}
}

// itemsBeside are items with open lines on a grade that a rule for some items does not name, at most three of them.
func itemsBeside(b plant.Book, g ident.Grade, permitted []ident.Item) []string {
	if len(permitted) == 0 {
		return nil
	}
	grade := map[ident.Item]ident.Grade{}
	for _, i := range b.Items {
		grade[i.Code] = i.Grade
	}
	var out []string
	for _, l := range b.Lines {
		if l.State == order.Open && grade[l.Item] == g && !slices.Contains(permitted, l.Item) && !slices.Contains(out, string(l.Item)) && len(out) < 3 {
			out = append(out, string(l.Item))
		}
	}
	return out
}
