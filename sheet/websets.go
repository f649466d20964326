package sheet

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan/webs"
)

// WebSets draws the best set of each number of widths and today's, for a year
// where it is known how many days the orders cover.
func WebSets(r webs.Result, f quantity.Format) draw.Drawing {
	of := func(name string, s webs.Set) draw.WebSet {
		return draw.WebSet{Name: name, Webs: s.Webs, Trim: r.Year(r.Beyond(s)), Keep: r.Year(s.Keep), Left: max(0, len(s.Left)-len(r.All.Left))}
	}
	var sets []draw.WebSet
	for _, s := range r.Best {
		name := fmt.Sprintf("%d widths", len(s.Webs))
		if len(s.Webs) == 1 {
			name = "1 width"
		}
		sets = append(sets, of(name, s))
	}
	time := ""
	if r.Days > 0 {
		time = " a year"
	}
	return draw.WebSets(append(sets, of("today", r.Today)), time, f)
}
