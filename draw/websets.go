package draw

import (
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/quantity"
)

// WebSet is one set of web widths as it is drawn. Its money is of whatever time
// Time of WebSets names.
type WebSet struct {
	Name string // "2 widths", "today"
	Webs []quantity.Length
	Trim quantity.Money // wasted beyond what all widths together waste
	Keep quantity.Money // of its widths
	Left int            // orders that it cannot make and all widths together can
}

// WebSets draws what each set costs beyond paper that no width can save: a bar
// of keeping, and on it, hatched, the trim that the set wastes beyond all widths
// together, so that the lowest bar is the best set. A set that leaves orders out
// has no bar, for it costs less for doing less, and says so. The axis begins at 0;
// time stands behind the money: " a year".
func WebSets(sets []WebSet, time string, f quantity.Format) Drawing {
	const high, step = 16.0, 11.0 // ems
	c := &canvas{em: quantity.Millimetre * 4, f: f, d: Drawing{
		Title:       "Trim and keeping by number of widths",
		Description: fmt.Sprintf("One bar a set, in %s%s: keeping its widths below, hatched above it the trim beyond what all widths together waste.", f.MoneyUnit(), time),
	}}
	most, rows := quantity.Money(0), 0
	for _, s := range sets {
		if rows = max(rows, len(s.Webs)); s.Left == 0 {
			most = max(most, s.Trim+s.Keep)
		}
	}
	left, top := c.ems(9), c.ems(5)
	bottom := top + c.ems(high)
	y := func(m quantity.Money) quantity.Length {
		return bottom - c.ems(high*float64(m)/float64(max(most, 1e-9)))
	}
	c.d.Width, c.d.Height = left+c.ems(step*float64(len(sets))+1), bottom+c.ems(4+1.3*float64(rows))
	c.line(left, bottom, c.d.Width-c.ems(1), bottom, Outline)
	for m, step := quantity.Money(0), tick(most); m <= most; m += step {
		c.line(left-c.ems(0.4), y(m), left, y(m), Outline)
		c.words(left-c.ems(0.8), y(m)+c.ems(0.3), 0.9, "end", Label, f.Number(float64(m), 0))
	}
	c.words(left-c.ems(0.8), top-c.ems(3.6), 0.9, "end", Label, f.MoneyUnit()+time)
	c.swatch(left+c.ems(1), top-c.ems(4.4), Waste, "trim beyond the least")
	c.swatch(left+c.ems(15), top-c.ems(4.4), Board, "keeping")
	for i, s := range sets {
		x := left + c.ems(step*(float64(i)+0.5))
		c.webSet(s, x, y(s.Keep), y(s.Keep+s.Trim), bottom)
		c.words(x, bottom+c.ems(1.6), 1, "middle", Strong, s.Name)
		for i, w := range s.Webs {
			c.words(x, bottom+c.ems(3+1.3*float64(i)), 0.9, "middle", Label, f.Length(w))
		}
	}
	return c.d
}

// tick is 1, 2 or 5 times a power of ten, so that at most five of them reach up to most.
func tick(most quantity.Money) quantity.Money {
	least := math.Max(float64(most)/5, 1e-9)
	power := math.Pow(10, math.Floor(math.Log10(least)))
	for _, n := range []float64{1, 2, 5} {
		if n*power >= least {
			return quantity.Money(n * power)
		}
	}
	return quantity.Money(10 * power)
}

func (c *canvas) swatch(x, y quantity.Length, r Role, words string) {
	c.rect(x, y, x+c.ems(1.4), y+c.ems(1), r)
	c.words(x+c.ems(1.9), y+c.ems(0.85), 0.9, "start", Label, words)
}

// webSet draws a set's bar, or says why it has none.
func (c *canvas) webSet(s WebSet, x, keep, whole, bottom quantity.Length) {
	if s.Left > 0 {
		c.words(x, bottom-c.ems(2.2), 0.9, "middle", Signal, fmt.Sprintf("%d more", s.Left))
		c.words(x, bottom-c.ems(0.9), 0.9, "middle", Signal, "left out")
		return
	}
	half := c.ems(2.6)
	if keep < bottom {
		c.rect(x-half, keep, x+half, bottom, Board)
	}
	if whole < keep {
		c.rect(x-half, whole, x+half, keep, Waste)
	}
	c.words(x, whole-c.ems(0.6), 0.9, "middle", Strong, c.f.Number(float64(s.Trim+s.Keep), 0))
}
