// Package trucks shows which units leave on which trailer, and takes units
// onto their truck at the dock.
package trucks

import (
	"embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/trucks"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "list.html", "truck.html")

// Pages of trucks.
type Pages struct{ *frame.Frame }

type listPage struct {
	frame.Base
	ID       ident.Plan
	Planned  bool
	Trailers int
	Answer   trucks.Answer
	Rows     []row
	Left     []left
	Late     int
}

type left struct {
	trucks.Left
	Why string
}

type row struct {
	trucks.Truck
	House   string
	Late    bool
	FillPct float64 // of the trailer's floor
}

// List answers: which truck leaves when, with what, and which is late?
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Loads", "Trucks"), Trailers: len(snap.Plant.Trailers)}
	pg.Trail = []frame.Link{{Words: "Loads", To: "/loads"}}
	pl, head, err := p.Desk.ShippingPlan(r.Context())
	if _, err := frame.Maybe(nil, err); err != nil {
		return err
	}
	if pl != nil {
		pg.ID, pg.Planned, pg.Answer = head.ID, true, pl.Trucks
		for _, l := range pl.Trucks.Left {
			tr, _ := trailer(snap, l.Trailer)
			pg.Left = append(pg.Left, left{l, l.Words(pg.F.Format, tr)})
		}
		for _, t := range pl.Trucks.Trucks {
			v := row{Truck: t, House: house(snap, t.Customer), Late: t.Leaves.After(t.Latest)}
			if tr, ok := trailer(snap, t.Trailer); ok {
				v.FillPct = 100 * float64(t.Floor) / float64(tr.Length)
			}
			if v.Late {
				pg.Late++
			}
			pg.Rows = append(pg.Rows, v)
		}
	}
	return p.Render(w, http.StatusOK, pages["list.html"], pg)
}

type truckPage struct {
	frame.Base
	trucks.Truck
	ID      ident.Plan
	House   string
	Picture template.HTML
	Parts   []part
	Kits    []kit
	On      []trace.Fact
	ToCome  int
	Once    string
	Refused string // why the last number was not taken
	Code    string // that number
	Limits  load.Trailer
}

type part struct {
	trucks.Part
	On, ToCome int
}

// Show answers: what goes on this truck, where does it stand, and what is still missing?
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	return p.show(w, r, http.StatusOK, "", "")
}

func (p Pages) show(w http.ResponseWriter, r *http.Request, status int, code, refused string) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	id, t, err := p.truck(r)
	if err != nil {
		return err
	}
	pg := truckPage{
		Base: p.Base(w, r, snap, "Loads", fmt.Sprintf("Truck %d", t.Number)), Truck: t, ID: id,
		House: house(snap, t.Customer), Once: frame.Once(), Code: code, Refused: refused,
	}
	pg.Trail = []frame.Link{{Words: "Loads", To: "/loads"}, {Words: "Trucks", To: "/trucks"}}
	if pg.On, err = p.Desk.OnTruck(r.Context(), id, t); err != nil {
		return err
	}
	for _, q := range t.Parts {
		v := part{Part: q}
		for _, f := range pg.On {
			if f.Release == q.Release {
				v.On++
			}
		}
		v.ToCome = max(0, v.Units-v.On)
		pg.ToCome += v.ToCome
		pg.Parts = append(pg.Parts, v)
	}
	pl, _, err := p.Desk.Plan(r.Context(), id)
	if err != nil {
		return err
	}
	pg.Kits = kits(pl, t)
	if tr, ok := trailer(snap, t.Trailer); ok {
		pg.Limits = tr
		if pg.Picture, err = frame.Picture(draw.Trailer(floor(pl, snap, t, tr, pg.Parts), pg.F.Format)); err != nil {
			return err
		}
	}
	slices.Reverse(pg.On)
	return p.Render(w, status, pages["truck.html"], pg)
}

// Load takes the unit whose number was read onto the truck.
func (p Pages) Load(w http.ResponseWriter, r *http.Request) error {
	id, t, err := p.truck(r)
	if err != nil {
		return err
	}
	code := r.FormValue("unit")
	u, err := p.Desk.LoadUnit(r.Context(), desk.Scan{ID: ident.Fact(r.FormValue("fact")), Code: code, Plan: id, Truck: t.Number, Who: frame.Who(r)})
	switch {
	case errors.Is(err, fault.Invalid), errors.Is(err, fault.Refused), errors.Is(err, fault.Conflict):
		return p.show(w, r, http.StatusUnprocessableEntity, code, strings.Join(fault.Lines(err), " "))
	case err != nil:
		return err
	}
	return frame.Done(w, r, fmt.Sprintf("/trucks/%d/%d", id, t.Number), fmt.Sprintf("Unit %s of %s, %d boxes, is on truck %d.", u.Unit, u.Release, u.Boxes, t.Number))
}

func (p Pages) truck(r *http.Request) (ident.Plan, trucks.Truck, error) {
	id, err := strconv.ParseInt(r.PathValue("plan"), 10, 64)
	if err != nil {
		return 0, trucks.Truck{}, fault.NotFound
	}
	n, err := strconv.Atoi(r.PathValue("truck"))
	if err != nil {
		return 0, trucks.Truck{}, fault.NotFound
	}
	pl, _, err := p.Desk.Plan(r.Context(), ident.Plan(id))
	if err != nil {
		return 0, trucks.Truck{}, err
	}
	i := slices.IndexFunc(pl.Trucks.Trucks, func(t trucks.Truck) bool { return t.Number == n })
	if i < 0 {
		return 0, trucks.Truck{}, fmt.Errorf("truck %d of plan %d: %w", n, id, fault.NotFound)
	}
	return ident.Plan(id), pl.Trucks.Trucks[i], nil
}

func house(s *desk.Snapshot, code ident.Customer) string {
	if c, ok := s.Customer(code); ok && c.Name != "" {
		return c.Name
	}
	return string(code)
}

func trailer(s *desk.Snapshot, code string) (load.Trailer, bool) {
	i := slices.IndexFunc(s.Plant.Trailers, func(t load.Trailer) bool { return t.Code == code })
	if i < 0 {
		return load.Trailer{}, false
	}
	return s.Plant.Trailers[i], true
}

// floor is the trailer as the drawing wants it; units count as loaded from the front of their order.
func floor(pl *plan.Plan, s *desk.Snapshot, t trucks.Truck, tr load.Trailer, parts []part) draw.TrailerFloor {
	out := draw.TrailerFloor{Title: fmt.Sprintf("Truck %d, %s", t.Number, t.Trailer), Length: tr.Length, Width: tr.Width}
	on := map[ident.Release]int{}
	for _, q := range parts {
		on[q.Release] = q.On
	}
	for _, pc := range t.Places {
		u := draw.TrailerUnit{X: pc.X, Y: pc.Y, Mark: pc.Release.String()}
		for _, l := range pl.Loads {
			if l.Release == pc.Release {
				deck, _ := s.Pallet(l.Pallet)
				u.Length, u.Width = l.Footprint(deck)
			}
		}
		if pc.Turned {
			u.Length, u.Width = u.Width, u.Length
		}
		if on[pc.Release] > 0 {
			on[pc.Release]--
			u.On = true
		}
		out.Units = append(out.Units, u)
	}
	return out
}
