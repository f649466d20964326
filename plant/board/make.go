package board

import (
	"github.com/flutewright/flutewright/base/quantity"
)

// TakeUp returns the metres of the ply's paper in a metre of board: 1 for a
// liner, the flute's take-up for a medium.
func (p Ply) TakeUp(c Catalogue) float64 {
	if p.Flute == "" {
		return 1
	}
	return c.Flutes[p.Flute].TakeUp
}

// PaperGrammage returns the paper in a square metre of board, Σ liners + Σ
// take-up · mediums.
//
// Source: TAPPI/AICC practice as answered in AICC technical questions, 6 March 2018.
func (g Grade) PaperGrammage(c Catalogue) quantity.Grammage {
	var sum quantity.Grammage
	for _, p := range g.Plies {
		sum += c.Papers[p.Paper].Grammage * quantity.Grammage(p.TakeUp(c))
	}
	return sum
}

// BoardGrammage returns paper and dry adhesive.
func (g Grade) BoardGrammage(c Catalogue) quantity.Grammage {
	return g.PaperGrammage(c) + g.DryAdhesive
}

// PaperPrice returns the price of the paper in a square metre of board.
func (g Grade) PaperPrice(c Catalogue) quantity.Money {
	var sum quantity.Money
	for _, p := range g.Plies {
		paper := c.Papers[p.Paper]
		sum += quantity.Money(float64(paper.Grammage)*p.TakeUp(c)/1000) * paper.PricePerTonne
	}
	return sum
}

// caliperShare is how much of the papers' own thickness shows in the board's
// (common practice, no published source).
const caliperShare = 0.9

// Caliper returns the board's thickness: as stated, else Σ flute heights + 0.9 · Σ paper calipers.
func (g Grade) Caliper(c Catalogue) quantity.Length {
	if g.StatedCaliper > 0 {
		return g.StatedCaliper
	}
	var papers, flutes quantity.Length
	for _, p := range g.Plies {
		papers += c.Papers[p.Paper].Caliper
		if p.Flute != "" {
			flutes += c.Flutes[p.Flute].Height
		}
	}
	return flutes + papers.Scale(caliperShare)
}

// kDoubleWall is the factor on summed component strength for boards of more
// than one medium (common practice, no published source).
const kDoubleWall = 0.72

// factor returns the grade's k: its own where fitted, else its flute's, else
// that of double wall; 0 where it is not known.
func (g Grade) factor(c Catalogue) float64 {
	if g.KECT > 0 {
		return g.KECT
	}
	if g.Walls() > 1 {
		return kDoubleWall
	}
	for _, p := range g.Plies {
		if p.Flute != "" {
			return c.Flutes[p.Flute].KECT
		}
	}
	return 0
}

// ECT returns the edgewise crush resistance: as stated (then stated is true),
// else by summed component strength
//
//	ECT = k · (Σ SCT liners + Σ take-up · SCT mediums), all across the machine
//
// with k the grade's own, its flute's, or 0.72 for a double wall. It is 0 where
// k or a paper's SCT is not known.
//
// Source: the summing principle in Dimitrov & Heydenrych, Southern Forests
// 71(3), 2009; k about 0.65–0.8 by plant, from memory: refit it.
func (g Grade) ECT(c Catalogue) (ect quantity.LineLoad, stated bool) {
	if g.StatedECT > 0 {
		return g.StatedECT, true
	}
	var sum quantity.LineLoad
	for _, p := range g.Plies {
		sct := c.Papers[p.Paper].SCT
		if sct <= 0 {
			return 0, false
		}
		sum += sct * quantity.LineLoad(p.TakeUp(c))
	}
	return sum * quantity.LineLoad(g.factor(c)), false
}
