package draw

import (
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
)

// LaneRow is one lane of the sheet floor as it is drawn.
type LaneRow struct {
	Name   string
	Length quantity.Distance
	Stacks []LaneStack // the one that leaves first at the front
}

// LaneStack is one stack in a lane.
type LaneStack struct {
	Words string
	Takes quantity.Distance
	Held  bool // must not be fed
}

// laneNames is the width kept for the lanes' names, in type sizes.
const laneNames = 5

// SheetFloor draws lanes from above, one under the other, stacks leaving to the
// right. Neighbouring orders differ in tone and hatching; what is held or
// stands beyond its lane's end is marked.
func SheetFloor(rows []LaneRow, f quantity.Format) Drawing {
	var longest quantity.Distance
	for _, r := range rows {
		used := quantity.Distance(0)
		for _, s := range r.Stacks {
			used += s.Takes
		}
		longest = max(longest, r.Length, used)
	}
	em := max(longest.Length()/72, 1)
	c := &canvas{em: em, f: f, d: Drawing{
		Title:       "Sheet floor",
		Description: fmt.Sprintf("%d lanes from above; stacks leave to the right.", len(rows)),
	}}
	left, pitch := c.ems(laneNames), c.ems(2.2)
	c.d.Width, c.d.Height = left+longest.Length()+c.ems(1), pitch*quantity.Length(len(rows))+c.ems(2)
	for i, r := range rows {
		y := c.ems(0.5) + pitch*quantity.Length(i)
		c.lane(r, left, y, longest.Length())
	}
	c.words(left, c.d.Height-c.ems(0.4), 0.9, "start", Label, "in")
	c.words(left+longest.Length(), c.d.Height-c.ems(0.4), 0.9, "end", Label, "out to the machines")
	return c.d
}

func (c *canvas) lane(r LaneRow, left, y, longest quantity.Length) {
	low := y + c.ems(1.8)
	end := left + longest // all lanes end at the machines' side
	c.words(left-c.ems(0.5), y+c.ems(1.2), 0.9, "end", Strong, r.Name)
	x, last, alt := end, "", false
	var filled quantity.Distance
	for _, s := range r.Stacks {
		role := Board
		if s.Words != last {
			alt = !alt
		}
		if alt {
			role = BoardAlt
		}
		filled += s.Takes
		c.rect(x-s.Takes.Length(), y+c.ems(0.1), x-c.em/8, low-c.ems(0.1), role)
		if s.Held || filled > r.Length {
			c.rect(x-s.Takes.Length(), low-c.ems(0.35), x-c.em/8, low-c.ems(0.1), Signal)
		}
		if size, fits := c.fitted(s.Words, s.Takes.Length()-c.ems(0.3), 0.85, 0.45); fits {
			c.words(x-s.Takes.Length()/2, y+c.ems(1.15), size, "middle", Label, s.Words)
		}
		x, last = x-s.Takes.Length(), s.Words
	}
	start := end - r.Length.Length()
	for _, edge := range [][4]quantity.Length{{start, y, end, y}, {start, low, end, low}, {start, y, start, low}, {end, y, end, low}} {
		c.line(edge[0], edge[1], edge[2], edge[3], Outline)
	}
}

// FillPoint is what the floor holds from At on.
type FillPoint struct {
	At   time.Time
	Used quantity.Distance
}

// Fill is the fill of the sheet floor over time as it is drawn.
type Fill struct {
	From, Until time.Time
	Capacity    quantity.Distance
	Points      []FillPoint // in time; each holds until the next
	Full        time.Time   // zero: never
	Hour        func(time.Time) string
}

// FillCurve draws the length that stacks take over the hours against the
// length of all lanes; what is above it is hatched.
func FillCurve(v Fill, f quantity.Format) Drawing {
	const wide, high = 90.0, 26.0 // ems
	c := &canvas{em: quantity.Millimetre * 4, f: f, d: Drawing{
		Title:       "Fill of the sheet floor",
		Description: "Length that stacks take over the hours, against the length of all lanes.",
	}}
	left, top, bottom := c.ems(7), c.ems(2), c.ems(2+high)
	c.d.Width, c.d.Height = left+c.ems(wide+3), bottom+c.ems(3)
	most := v.Capacity
	for _, p := range v.Points {
		most = max(most, p.Used)
	}
	x := func(t time.Time) quantity.Length {
		share := float64(t.Sub(v.From)) / float64(max(v.Until.Sub(v.From), 1))
		return left + c.ems(wide*min(max(share, 0), 1))
	}
	y := func(d quantity.Distance) quantity.Length {
		return bottom - c.ems(high*float64(d)/(1.1*float64(max(most, 1))))
	}
	for i, p := range v.Points {
		till := v.Until
		if i+1 < len(v.Points) {
			till = v.Points[i+1].At
		}
		c.rect(x(p.At), y(min(p.Used, v.Capacity)), min(x(till)+c.em/8, left+c.ems(wide)), bottom, Board) // a hair over: no seams
		if p.Used > v.Capacity {
			c.rect(x(p.At), y(p.Used), x(till), y(v.Capacity), Signal)
		}
	}
	c.line(left, y(v.Capacity), left+c.ems(wide), y(v.Capacity), Cut)
	c.words(left-c.ems(0.5), y(v.Capacity)+c.ems(0.3), 0.9, "end", Strong, f.Run(v.Capacity))
	c.words(left-c.ems(0.5), bottom, 0.9, "end", Label, "0")
	c.line(left, bottom, left+c.ems(wide), bottom, Outline)
	step := v.Until.Sub(v.From) / 8
	for i := range 9 {
		at := v.From.Add(time.Duration(i) * step)
		c.line(x(at), bottom, x(at), bottom+c.ems(0.5), Outline)
		c.words(within(x(at), c.ems(4), c.d.Width), bottom+c.ems(1.8), 0.9, "middle", Label, v.Hour(at))
	}
	if !v.Full.IsZero() {
		c.line(x(v.Full), top, x(v.Full), bottom, Signal)
		c.words(within(x(v.Full), c.ems(8), c.d.Width), top-c.ems(0.5), 1, "middle", Signal, "full "+v.Hour(v.Full))
	}
	return c.d
}
