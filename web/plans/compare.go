package plans

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

type comparePage struct {
	frame.Base
	desk.Comparison
	Lines  []line
	Verb   string // what B does against A, in words
	Apart  []desk.OrderApart
	Beyond int // orders that differ and are not shown
}

// line is one figure of both plans and the step from A to B.
type line struct {
	Words, Unit string
	A, B, Step  string
	Better      int // −1: A, 1: B, 0: equal or neither
}

const apartShown = 60

// Compare lays two plans side by side.
func (p Pages) Compare(w http.ResponseWriter, r *http.Request) error {
	v := frame.Values{R: r}
	a, b := v.Count("a", 1, 0), v.Count("b", 1, 0)
	if err := v.Err(); err != nil {
		return err
	}
	c, err := p.Desk.Compare(r.Context(), ident.Plan(a), ident.Plan(b))
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := comparePage{Base: p.Base(w, r, snap, "Plans", fmt.Sprintf("Plan %d beside plan %d", a, b)), Comparison: c}
	pg.Trail = []frame.Link{{Words: "Plans", To: "/plans"}}
	pg.Acts = []frame.Link{{Words: "The other way round", To: fmt.Sprintf("/plans/compare?a=%d&b=%d", b, a)}}
	pg.Lines = lines(pg.F, c)
	pg.Verb = verdict(pg.F, c)
	pg.Apart = c.Orders
	if len(pg.Apart) > apartShown {
		pg.Apart, pg.Beyond = c.Orders[:apartShown], len(c.Orders)-apartShown
	}
	return p.Render(w, http.StatusOK, pages["compare.html"], pg)
}

func lines(f frame.Figures, c desk.Comparison) []line {
	money := f.MoneyUnit()
	row := func(words, unit string, a, b float64, decimals int, lessIsBetter bool) line {
		l := line{Words: words, Unit: unit, A: f.Number(a, decimals), B: f.Number(b, decimals), Step: signed(f, b-a, decimals)}
		if l.A != l.B {
			l.Better = 1
			if (b > a) == lessIsBetter {
				l.Better = -1
			}
		}
		return l
	}
	length := func(v float64) float64 {
		if f.US {
			return v / 0.3048
		}
		return v
	}
	return []line{
		row("Cost in all", money, float64(c.Cost.A), float64(c.Cost.B), 0, true),
		row("Board", money, float64(c.BoardCost.A), float64(c.BoardCost.B), 0, true),
		row("Presses", money, float64(c.PressCost.A), float64(c.PressCost.B), 0, true),
		row("Lateness", money, float64(c.LateCost.A), float64(c.LateCost.B), 0, true),
		row("Web run", f.RunUnit(), length(c.Metres.A.Metres()), length(c.Metres.B.Metres()), 0, true),
		row("Waste", "%", c.WastePct.A, c.WastePct.B, 2, true),
		row("Orders planned", "", float64(c.Planned.A), float64(c.Planned.B), 0, false),
		row("Orders late", "", float64(c.Late.A), float64(c.Late.B), 0, true),
		row("Late in all", "h", c.LateHours.A, c.LateHours.B, 1, true),
		row("Runs", "", float64(c.Runs.A), float64(c.Runs.B), 0, true),
		row("Paper not covered in time", f.RunUnit(), length(c.Uncovered.A.Metres()), length(c.Uncovered.B.Metres()), 0, true),
	}
}

func signed(f frame.Figures, v float64, decimals int) string {
	s := f.Number(v, decimals)
	if zero, err := strconv.ParseFloat(s, 64); err == nil && zero == 0 {
		return "0"
	}
	if v > 0 {
		return "+" + s
	}
	return "−" + f.Number(-v, decimals)
}

// verdict says in one sentence what the second plan does against the first.
func verdict(f frame.Figures, c desk.Comparison) string {
	step := float64(c.Cost.B - c.Cost.A)
	s := fmt.Sprintf("Plan %d costs %s %s more than plan %d", c.B.ID, f.Number(step, 0), f.MoneyUnit(), c.A.ID)
	switch {
	case f.Number(step, 0) == "0":
		s = fmt.Sprintf("Both cost the same, %s %s", f.WholeMoney(c.Cost.A), f.MoneyUnit())
	case step < 0:
		s = fmt.Sprintf("Plan %d costs %s %s less than plan %d", c.B.ID, f.Number(-step, 0), f.MoneyUnit(), c.A.ID)
	}
	switch late := c.Late.B - c.Late.A; {
	case late > 0:
		s += fmt.Sprintf(" and brings %s more late", frame.Plural(late, "order"))
	case late < 0:
		s += fmt.Sprintf(" and brings %s fewer late", frame.Plural(-late, "order"))
	default:
		s += " and leaves as many late"
	}
	return s + "."
}
