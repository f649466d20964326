package draw

import (
	"fmt"
	"strconv"

	"github.com/flutewright/flutewright/base/quantity"
)

// TrailerUnit is one unit on a trailer's floor; X from the front wall, Y from the left side.
type TrailerUnit struct {
	X, Y          quantity.Length
	Length, Width quantity.Length // along and across the trailer, as it stands
	Mark          string          // what is written on it
	On            bool            // it stands there already
}

// TrailerFloor is a trailer from the top, its front wall at the left.
type TrailerFloor struct {
	Title         string
	Length, Width quantity.Length
	Units         []TrailerUnit
}

// Trailer draws a trailer's floor from the top with its units: those that
// stand there filled, those still to come in outline.
func Trailer(t TrailerFloor, f quantity.Format) Drawing {
	c := canvas{em: max(t.Length, quantity.Millimetre) / 60, f: f}
	x0, y0 := c.ems(4), c.ems(1.5)
	c.d.Title = t.Title
	on := 0
	for _, u := range t.Units {
		if u.On {
			on++
		}
	}
	c.d.Description = fmt.Sprintf("Trailer floor %s × %s %s with %d units, %d of them loaded; front wall at the left.",
		f.Length(t.Length), f.Length(t.Width), f.LengthUnit(), len(t.Units), on)
	c.d.Width, c.d.Height = x0+t.Length+c.ems(2), y0+t.Width+c.ems(4.2)
	x1, y1 := x0+t.Length, y0+t.Width
	for _, l := range [][4]quantity.Length{{x0, y0, x1, y0}, {x0, y1, x1, y1}, {x0, y0, x0, y1}} {
		c.line(l[0], l[1], l[2], l[3], Outline)
	}
	for _, u := range t.Units {
		c.trailerUnit(u, x0, y0)
	}
	c.down([]quantity.Length{y0, y1}, c.ems(1.8), x0-c.ems(0.3))
	c.across([]quantity.Length{x0, x1}, y1+c.ems(1.8), y1+c.ems(0.2))
	note := "front wall left, doors right · " + strconv.Itoa(on) + " of " + strconv.Itoa(len(t.Units)) + " units loaded · dimensions in " + lengthWord(f)
	size, _ := c.fitted(note, c.d.Width-c.ems(1), 0.9, 0.2)
	c.words(c.ems(0.5), c.d.Height-c.ems(0.7), size, "start", Dim, note)
	return c.d
}

func (c *canvas) trailerUnit(u TrailerUnit, x0, y0 quantity.Length) {
	x, y := x0+u.X, y0+u.Y
	if u.On {
		c.rect(x, y, x+u.Length, y+u.Width, Board)
	}
	c.line(x, y, x+u.Length, y, Cut)
	c.line(x, y+u.Width, x+u.Length, y+u.Width, Cut)
	c.line(x, y, x, y+u.Width, Cut)
	c.line(x+u.Length, y, x+u.Length, y+u.Width, Cut)
	size, _ := c.fitted(u.Mark, u.Length-c.ems(0.3), 0.9, 0.2)
	c.words(x+u.Length/2, y+u.Width/2+c.ems(size*0.35), size, "middle", Strong, u.Mark)
}
