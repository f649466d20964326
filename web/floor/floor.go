// Package floor shows the sheet floor: where stacks lie, how full it gets and
// which run to put off; and the counts of every release side by side.
package floor

import (
	"cmp"
	"embed"
	"errors"
	"html/template"
	"net/http"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan/floor"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "lanes.html", "counts.html", "count.html", "waste.html")

// Pages of the sheet floor.
type Pages struct{ *frame.Frame }

type lanesPage struct {
	frame.Base
	None    bool // the plant states no lanes
	View    *desk.SheetFloor
	Share   float64 // of the lanes' length now
	PeakPct float64
	Used    quantity.Distance
	Until   time.Time
	Lanes   template.HTML
	Curve   template.HTML
	Stacks  []standing
	Hours   []hour
	Over    []over
	Outside int // stacks that no lane takes within the day
	Dug     []floor.Placed
}

type standing struct {
	floor.Placed
	Takes quantity.Distance
	Held  bool
	Old   bool // longer than the plant lets board lie
}

type hour struct {
	From, Until time.Time
	Come, Go    int // stacks
	Used        quantity.Distance
	Pct         float64
	Full        bool
	Out         quantity.Distance
}

type over struct {
	Lane   string
	Length quantity.Distance
	Used   quantity.Distance
}

// Lanes answers: when is the sheet floor full, and which run is put off then?
func (p Pages) Lanes(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := lanesPage{Base: p.Base(w, r, snap, "Runs", "Sheet floor")}
	pg.Trail = []frame.Link{{Words: "Runs", To: "/runs"}}
	pg.Acts = []frame.Link{{Words: "Enter what stands there", To: "/floor"}, {Words: "Counts", To: "/floor/counts"}, {Words: "Waste", To: "/waste"}}
	view, err := p.Desk.SheetFloor(r.Context())
	var vs fault.Violations
	if errors.As(err, &vs) {
		pg.None = true
		return p.Render(w, http.StatusOK, pages["lanes.html"], pg)
	}
	if err != nil {
		return err
	}
	pg.View, pg.Until = view, view.Problem.Until
	pg.fill(snap)
	if pg.Lanes, err = frame.Picture(draw.SheetFloor(pg.rows(), pg.F.Format)); err != nil {
		return err
	}
	if pg.Curve, err = frame.Picture(draw.FillCurve(pg.points(), pg.F.Format)); err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["lanes.html"], pg)
}

func (pg *lanesPage) lane(name string) (floor.Lane, bool) {
	for _, l := range pg.View.Problem.Lanes {
		if l.Name == name {
			return l, true
		}
	}
	return floor.Lane{}, false
}

// fill works out the tables.
func (pg *lanesPage) fill(snap *desk.Snapshot) {
	res, from := pg.View.Result, pg.View.Problem.From
	held := map[any]bool{}
	for _, s := range snap.Floor.Stacks {
		if s.Held {
			held[s.Release.String()+string(s.ID)] = true
		}
	}
	used := map[string]quantity.Distance{}
	for _, s := range res.Placed {
		if s.DugOut {
			pg.Dug = append(pg.Dug, s)
		}
		if (s.Lane == "" || !s.Waits.IsZero()) && !s.In.After(pg.Until) {
			pg.Outside++
		}
		if s.In.After(from) {
			continue
		}
		v := standing{Placed: s, Held: held[s.Release.String()+string(s.Name)]}
		if !s.Waits.IsZero() {
			v.Lane = ""
		}
		if l, ok := pg.lane(v.Lane); ok {
			v.Takes = l.Takes(s.Stack)
		}
		v.Old = snap.Plant.Cure.FloorMax > 0 && from.Sub(s.In) > snap.Plant.Cure.FloorMax.Duration()
		used[v.Lane] += v.Takes
		pg.Stacks = append(pg.Stacks, v)
	}
	slices.SortStableFunc(pg.Stacks, func(a, b standing) int {
		return cmp.Or(cmp.Compare(a.Lane, b.Lane), a.In.Compare(b.In))
	})
	for _, l := range pg.View.Problem.Lanes {
		if used[l.Name] > l.Length {
			pg.Over = append(pg.Over, over{l.Name, l.Length, used[l.Name]})
		}
	}
	pg.hours()
	capacity := float64(max(res.Capacity, 1))
	pg.Share, pg.PeakPct = 100*float64(pg.Used)/capacity, 100*float64(res.Peak)/capacity
}

// hours sums the day up by two hours.
func (pg *lanesPage) hours() {
	res, p := pg.View.Result, pg.View.Problem
	at := func(t time.Time) (used, out quantity.Distance) {
		for _, c := range res.Curve {
			if !c.At.After(t) {
				used, out = c.Used, c.Outside
			}
		}
		return used, out
	}
	pg.Used, _ = at(p.From)
	for t := p.From; t.Before(p.Until); t = t.Add(2 * time.Hour) {
		h := hour{From: t, Until: t.Add(2 * time.Hour)}
		within := func(m time.Time) bool { return m.After(h.From) && !m.After(h.Until) }
		for _, s := range res.Placed {
			if within(s.In) {
				h.Come++
			}
			if within(s.Out) {
				h.Go++
			}
		}
		h.Used, h.Out = at(h.Until)
		h.Pct = 100 * float64(h.Used) / float64(max(res.Capacity, 1))
		h.Full = h.Out > 0
		pg.Hours = append(pg.Hours, h)
	}
}

// rows are the lanes as they stand now.
func (pg *lanesPage) rows() []draw.LaneRow {
	var out []draw.LaneRow
	for _, l := range pg.View.Problem.Lanes {
		row := draw.LaneRow{Name: l.Name, Length: l.Length}
		for _, s := range pg.Stacks {
			if s.Lane == l.Name {
				row.Stacks = append(row.Stacks, draw.LaneStack{Words: s.Release.String(), Takes: s.Takes, Held: s.Held})
			}
		}
		out = append(out, row)
	}
	return out
}

func (pg *lanesPage) points() draw.Fill {
	p, res := pg.View.Problem, pg.View.Result
	v := draw.Fill{From: p.From, Until: p.Until, Capacity: res.Capacity, Full: res.FullAt, Hour: pg.F.Short}
	for _, c := range res.Curve {
		v.Points = append(v.Points, draw.FillPoint{At: c.At, Used: c.Used})
	}
	return v
}
