package draw_test

import (
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
)

// within reports a mark that leaves the frame.
func inFrame(t *testing.T, d draw.Drawing) {
	t.Helper()
	for _, r := range d.Rects {
		if r.At.X < 0 || r.At.Y < 0 || r.At.X+r.Width > d.Width || r.At.Y+r.Height > d.Height {
			t.Errorf("%s: %+v leaves %v × %v", d.Title, r, d.Width, d.Height)
		}
	}
	for _, l := range d.Lines {
		for _, p := range []draw.Point{l.A, l.B} {
			if p.X < 0 || p.Y < 0 || p.X > d.Width || p.Y > d.Height {
				t.Errorf("%s: %+v leaves the frame", d.Title, l)
			}
		}
	}
}

func count(d draw.Drawing, r draw.Role) (n int) {
	for _, v := range d.Rects {
		if v.Role == r {
			n++
		}
	}
	return n
}

func TestSheetFloorStaysInItsFrame(t *testing.T) {
	m := quantity.FromMetres
	d := draw.SheetFloor([]draw.LaneRow{
		{Name: "L01", Length: m(14), Stacks: []draw.LaneStack{{Words: "J1001", Takes: m(2)}, {Words: "J1001", Takes: m(2)}, {Words: "J1002", Takes: m(3), Held: true}}},
		{Name: "L02", Length: m(4), Stacks: []draw.LaneStack{{Words: "J1003", Takes: m(3)}, {Words: "J1004", Takes: m(3)}}}, // more than the lane holds
		{Name: "L03", Length: m(14)},
	}, quantity.Format{})
	inFrame(t, d)
	if n := count(d, draw.Board) + count(d, draw.BoardAlt); n != 5 {
		t.Errorf("%d stacks drawn of 5", n)
	}
	if n := count(d, draw.Signal); n != 2 {
		t.Errorf("%d stacks marked, of one held and one beyond its lane", n)
	}
}

func TestFillCurve(t *testing.T) {
	six := time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC)
	m := quantity.FromMetres
	d := draw.FillCurve(draw.Fill{
		From: six, Until: six.Add(24 * time.Hour), Capacity: m(100), Full: six.Add(3 * time.Hour),
		Points: []draw.FillPoint{{six, m(40)}, {six.Add(3 * time.Hour), m(130)}, {six.Add(9 * time.Hour), m(60)}},
		Hour:   func(t time.Time) string { return t.Format("15:04") },
	}, quantity.Format{})
	inFrame(t, d)
	if count(d, draw.Board) != 3 || count(d, draw.Signal) != 1 {
		t.Errorf("%d bars, %d above the lanes", count(d, draw.Board), count(d, draw.Signal))
	}
	said := false
	for _, w := range d.Texts {
		said = said || strings.Contains(w.Words, "full 09:00")
	}
	if !said {
		t.Error("the hour is not said")
	}
}
