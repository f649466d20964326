package plans

import (
	"cmp"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/web/frame"
)

// choice is one thing that a person has decided for a plan.
type choice struct {
	Words string
	Kind  string // pin, apart, bar, route, exchange
	Place int    // among its kind
}

// priced is a plan's cost against that of the plan it came from.
type priced struct {
	Of        ident.Plan
	Step      float64 // more than it, whole; negative: less
	Amount    quantity.Money
	Late      int // orders late more than in it; negative: fewer
	LateWords string
}

func price(h, of desk.PlanHead) *priced {
	d := h.Summary.Cost - of.Summary.Cost
	v := priced{Of: of.ID, Step: math.Round(float64(d)), Amount: quantity.Money(math.Abs(float64(d))), Late: h.Summary.Late - of.Summary.Late}
	switch {
	case v.Late > 0:
		v.LateWords = frame.Plural(v.Late, "late order") + " more"
	case v.Late < 0:
		v.LateWords = frame.Plural(-v.Late, "late order") + " fewer"
	}
	return &v
}

// chosen words what is decided by hand.
func chosen(c plan.Choices, f frame.Figures) (out []choice) {
	for i, p := range c.Pins {
		out = append(out, choice{fmt.Sprintf("%s stays on %s %s.", p.Release, f.Length(p.Web), f.LengthUnit()), "pin", i})
	}
	for i, a := range c.Apart {
		out = append(out, choice{fmt.Sprintf("%s and %s stay apart.", a.A, a.B), "apart", i})
	}
	for i, w := range c.Barred {
		out = append(out, choice{fmt.Sprintf("Nothing runs on %s %s.", f.Length(w), f.LengthUnit()), "bar", i})
	}
	for i, x := range c.Exchanges {
		out = append(out, choice{fmt.Sprintf("%s stands in for %s in ply %d of %s, on every run of it.", x.Use, x.For, x.Ply, x.Grade), "exchange", i})
	}
	for i, r := range c.Routes {
		out = append(out, choice{fmt.Sprintf("%s goes over %s.", r.Release, routeWords(r.Route)), "route", i})
	}
	return out
}

func routeWords(route []ident.Machine) string {
	var words []string
	for _, m := range route {
		words = append(words, string(m))
	}
	return strings.Join(words, ", then ")
}

// Hand plans again with one more thing decided by hand, or without one: the new
// plan is priced against this one.
func (p Pages) Hand(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return err
	}
	h, err := p.Desk.PlanHead(r.Context(), id)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	o := h.Options
	o.From, o.Broken, o.By = id, nil, ""
	if o.Choices, o.Note, err = changed(&v, o.Choices, frame.FiguresOf(snap)); err != nil {
		return err
	}
	o.Seconds = cmp.Or(o.Seconds, handSeconds)
	made, err := p.Desk.StartPlan(r.Context(), o, frame.Who(r))
	if err != nil {
		return err
	}
	http.Redirect(w, r, frame.PlanPath(made), http.StatusSeeOther)
	return nil
}

// handSeconds is how long a plan with a hand-made choice is sought where the
// plan before it says nothing: its price should not be the search's noise.
const handSeconds = 5.0

// changed adds the choice that the form states, or takes one back.
func changed(v *frame.Values, c plan.Choices, f frame.Figures) (plan.Choices, string, error) {
	var orders []ident.Release
	for _, s := range v.R.PostForm["order"] {
		k, err := ident.ParseRelease(s)
		if err != nil {
			return c, "", frame.Wrong("order", s, "must be the number of an order")
		}
		orders = append(orders, k)
	}
	web, err := f.ParseLength(v.Text("web"))
	c = plan.Choices{Pins: slices.Clone(c.Pins), Apart: slices.Clone(c.Apart), Barred: slices.Clone(c.Barred), Routes: slices.Clone(c.Routes), Exchanges: slices.Clone(c.Exchanges)}
	switch what := v.Text("what"); {
	case what == "undo":
		return undone(v, c, f)
	case what == "pin" && err == nil && len(orders) > 0:
		for _, k := range orders {
			c.Pins = slices.DeleteFunc(c.Pins, func(p plan.Pin) bool { return p.Release == k })
			c.Pins = append(c.Pins, plan.Pin{Release: k, Web: web})
		}
		return c, fmt.Sprintf("%s pinned to %s %s", listed(orders), f.Length(web), f.LengthUnit()), nil
	case what == "bar" && err == nil:
		if !slices.Contains(c.Barred, web) {
			c.Barred = append(c.Barred, web)
		}
		c.Pins = slices.DeleteFunc(c.Pins, func(p plan.Pin) bool { return p.Web == web })
		return c, fmt.Sprintf("nothing on %s %s", f.Length(web), f.LengthUnit()), nil
	case what == "apart" && len(orders) == 2:
		c.Apart = append(c.Apart, plan.Apart{A: orders[0], B: orders[1]})
		return c, listed(orders) + " apart", nil
	case what == "exchange":
		x := plan.Exchange{Grade: ident.Grade(v.Text("grade")), Ply: v.Count("ply", 1, 0), For: ident.Paper(v.Text("for")), Use: ident.Paper(v.Text("use"))}
		c.Exchanges = append(c.Exchanges, x)
		return c, fmt.Sprintf("%s for %s in ply %d of %s", x.Use, x.For, x.Ply, x.Grade), v.Err()
	case what == "pin" || what == "bar":
		return c, "", frame.Wrong("web", v.Text("web"), "must be a width in "+f.LengthUnit())
	}
	return c, "", frame.Wrong("what", v.Text("what"), "must be pin, bar, apart, exchange or undo")
}

// undone takes one choice back.
func undone(v *frame.Values, c plan.Choices, f frame.Figures) (plan.Choices, string, error) {
	kind, place := v.Text("kind"), v.Count("place", 0, -1)
	if err := v.Err(); err != nil {
		return c, "", err
	}
	for _, was := range chosen(c, f) {
		if was.Kind != kind || was.Place != place {
			continue
		}
		switch kind {
		case "pin":
			c.Pins = slices.Delete(c.Pins, place, place+1)
		case "apart":
			c.Apart = slices.Delete(c.Apart, place, place+1)
		case "bar":
			c.Barred = slices.Delete(c.Barred, place, place+1)
		case "exchange":
			c.Exchanges = slices.Delete(c.Exchanges, place, place+1)
		case "route":
			c.Routes = slices.Delete(c.Routes, place, place+1)
		}
		return c, "without: " + strings.TrimSuffix(was.Words, "."), nil
	}
	return c, "", fmt.Errorf("that choice is not in the plan: %w", fault.NotFound)
}

func listed(keys []ident.Release) string {
	var words []string
	for _, k := range keys {
		words = append(words, k.String())
	}
	return joined(words)
}
