package draw

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
)

// WebSet is one set of web widths as it is drawn.
type WebSet struct {
	Webs  []quantity.Length
	Cost  quantity.Money
	Bound quantity.Money
	Left  int // orders that it cannot make
}

// WebSets draws cost against the number of widths: the best set of each number
// with its widths below, a short stroke at the bound, and today's set as an
// open square beside them. A set that leaves more orders out than the one that
// leaves the least costs less for doing less: it has no place on the axis, and says what it leaves.
// The cost axis does not begin at 0.
func WebSets(best []WebSet, today *WebSet, f quantity.Format) Drawing {
	const high, step = 18.0, 11.0 // ems
	c := &canvas{em: quantity.Millimetre * 4, f: f, d: Drawing{
		Title:       "Cost by number of widths",
		Description: fmt.Sprintf("The best set of each number of widths from the left, in %s; a stroke shows what no plan can undercut. The axis does not begin at 0.", f.MoneyUnit()),
	}}
	all := best
	if today != nil {
		all = append(append([]WebSet{}, best...), *today)
	}
	least := all[0].Left
	for _, s := range best {
		least = min(least, s.Left)
	}
	low, most, rows := bounds(all, least)
	left, top := c.ems(9), c.ems(3)
	bottom := top + c.ems(high)
	y := func(m quantity.Money) quantity.Length {
		return bottom - c.ems(high*float64(m-low)/float64(max(most-low, 1e-9)))
	}
	c.d.Width, c.d.Height = left+c.ems(step*float64(len(all))+1), bottom+c.ems(4+1.3*float64(rows))
	c.line(left, bottom, c.d.Width-c.ems(1), bottom, Outline)
	for i := range 5 {
		m := low + (most-low)*quantity.Money(float64(i)/4)
		c.line(left-c.ems(0.4), y(m), left, y(m), Outline)
		c.words(left-c.ems(0.8), y(m)+c.ems(0.3), 0.9, "end", Label, f.Number(float64(m), 0))
	}
	c.words(left-c.ems(0.8), top-c.ems(1.6), 0.9, "end", Label, f.MoneyUnit())
	for i, s := range all {
		x := left + c.ems(step*(float64(i)+0.5))
		if i > 0 && i < len(best) && all[i-1].Left == least && s.Left == least {
			c.line(x-c.ems(step), y(all[i-1].Cost), x, y(s.Cost), Dim)
		}
		if s.Left > least {
			c.words(x, top+c.ems(high/2-0.7), 0.9, "middle", Signal, fmt.Sprintf("%d left out", s.Left))
			c.words(x, top+c.ems(high/2+0.7), 0.9, "middle", Label, "the others "+f.Number(float64(s.Cost), 0))
			c.webSetName(s, x, bottom, i == len(best))
			continue
		}
		c.webSet(s, x, y(s.Cost), y(max(s.Bound, low)), bottom, i == len(best))
	}
	return c.d
}

// bounds are the lowest and highest money of the sets that leave the least out,
// with air, and the most widths of any set.
func bounds(all []WebSet, least int) (low, most quantity.Money, rows int) {
	first := true
	for _, s := range all {
		if rows = max(rows, len(s.Webs)); s.Left > least {
			continue
		}
		if first {
			low, most, first = s.Cost, s.Cost, false
		}
		low, most = min(low, s.Cost), max(most, s.Cost)
	}
	for _, s := range all {
		if s.Left <= least && s.Bound > 0 && s.Bound > low-(most-low)/2 { // a far bound would flatten the picture
			low = min(low, s.Bound)
		}
	}
	air := max((most-low)/10, most/1000)
	return max(0, low-air), most + air, rows
}

func (c *canvas) webSet(s WebSet, x, y, bound, bottom quantity.Length, today bool) {
	half := c.ems(0.6)
	c.line(x-c.ems(1.2), bound, x+c.ems(1.2), bound, Cut)
	if today {
		for _, l := range [][4]quantity.Length{{x - half, y - half, x + half, y - half}, {x - half, y + half, x + half, y + half}, {x - half, y - half, x - half, y + half}, {x + half, y - half, x + half, y + half}} {
			c.line(l[0], l[1], l[2], l[3], Cut)
		}
	} else {
		c.rect(x-half, y-half, x+half, y+half, Board)
	}
	c.words(x, y-c.ems(1), 0.9, "middle", Strong, c.f.Number(float64(s.Cost), 0))
	if s.Left > 0 {
		c.words(x, y-c.ems(2.2), 0.9, "middle", Signal, fmt.Sprintf("%d left out", s.Left))
	}
	c.webSetName(s, x, bottom, today)
}

// webSetName writes a set's widths below the axis.
func (c *canvas) webSetName(s WebSet, x, bottom quantity.Length, today bool) {
	name := fmt.Sprintf("%d widths", len(s.Webs))
	switch {
	case today:
		name = "today"
	case len(s.Webs) == 1:
		name = "1 width"
	}
	c.words(x, bottom+c.ems(1.6), 1, "middle", Strong, name)
	for i, w := range s.Webs {
		c.words(x, bottom+c.ems(3+1.3*float64(i)), 0.9, "middle", Label, c.f.Length(w))
	}
}
