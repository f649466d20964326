package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
)

// strengthCmd estimates a box's compression strength and what it may bear.
type strengthCmd struct {
	Inside      string   `help:"Inside length x width x height, for the perimeter." placeholder:"LxWxH"`
	Grade       string   `help:"Board grade of the plant, for edge crush and caliper."`
	ECT         *float64 `name:"ect-kn-m" help:"Edge crush; rules over the grade's."`
	CaliperMM   *float64 `name:"caliper-mm" help:"Board thickness; rules over the grade's."`
	PerimeterMM *float64 `name:"perimeter-mm" help:"Box perimeter; rules over the inside size."`
	Days        float64  `help:"Days under load; left out, no loss."`
	HumidityPct float64  `name:"humidity-pct" help:"Relative humidity; left out, no loss."`
	Stack       string   `help:"Arrangement: column, misaligned or interlocked; left out, no loss."`
	Overhang    bool     `help:"The boxes hang over the pallet's edge."`
	DeckGap     bool     `help:"The boxes stand over gaps between deck boards."`
	Handling    bool     `help:"Rough or repeated handling."`
	MassKG      float64  `name:"mass-kg" help:"Gross mass of one filled box; with --high the load is checked."`
	High        int      `help:"Boxes high."`
	ContentsPct float64  `name:"contents-pct" help:"Share of the load that the contents bear."`
	Constant    float64  `help:"The plant's own constant of the short formula." default:"5.87"`
	Plant       string   `help:"Plant with its grades, JSON; without one, the demo plant." type:"path"`
	JSON        bool     `name:"json" help:"Answer in JSON."`
}

// strengthAnswer is what strength writes.
type strengthAnswer struct {
	ECT         quantity.LineLoad  `json:"ect_kn_m"`
	ECTStated   bool               `json:"ect_stated"` // measured or stated, not summed from the papers
	Caliper     quantity.Length    `json:"caliper_mm"`
	Perimeter   quantity.Length    `json:"perimeter_mm"`
	BCT         quantity.Force     `json:"bct_n"`
	Low         quantity.Force     `json:"bct_low_n"`
	High        quantity.Force     `json:"bct_high_n"`
	Multipliers map[string]float64 `json:"multipliers"`
	Allowed     quantity.Force     `json:"allowed_load_n"`
	Load        *quantity.Force    `json:"load_n,omitempty"`
	Verdict     board.Verdict      `json:"verdict,omitempty"`
	BoxesHigh   int                `json:"boxes_high_that_hold,omitempty"`
	Formula     string             `json:"formula"`
	Source      string             `json:"source"`
	Notes       []string           `json:"notes"`
}

// Run estimates and writes the answer.
func (c *strengthCmd) Run(e *env) error {
	p, err := plantFrom(c.Plant)
	if err != nil {
		return err
	}
	f := formatOf(p)
	a, err := c.answer(p, f)
	if err != nil {
		return err
	}
	if c.JSON {
		return writeDocument(e, "", a)
	}
	return a.table(e.stdout, f)
}

func (c *strengthCmd) answer(p plant.Plant, f quantity.Format) (strengthAnswer, error) {
	a := strengthAnswer{
		Formula: fmt.Sprintf("BCT = %g · ECT · √(caliper · perimeter), ± %.0f %%", c.Constant, 100*board.Band),
		Source:  "McKee, Gander & Wachuta, Paperboard Packaging 48(8), 1963; multipliers: Fibre Box Association, Fibre Box Handbook",
		Notes:   []string{"an estimate for new regular slotted boxes in standard climate: test boxes before relying on it"},
	}
	var v fault.Violations
	c.board(p, &a, &v)
	c.perimeter(f, &a, &v)
	v.Require(c.Constant > 0 && c.Constant <= 20, "--constant", fmt.Sprint(c.Constant), "must be more than 0 and at most 20")
	duty := board.Duty{GrossMass: quantity.Mass(c.MassKG), BoxesHigh: c.High, ContentsShare: c.ContentsPct / 100, Conditions: board.Conditions{
		Days: c.Days, HumidityPct: c.HumidityPct, Arrangement: c.Stack, Overhang: c.Overhang, DeckGap: c.DeckGap, Handling: c.Handling}}
	_, err := board.Multipliers(duty.Conditions)
	v = append(v, dashed(err)...)
	c.duty(&v)
	if err := v.Err(); err != nil {
		return a, err
	}
	a.BCT = board.CompressionRefitted(c.Constant, a.ECT, a.Perimeter, a.Caliper)
	a.Low, a.High = board.Low(a.BCT), board.High(a.BCT)
	check, err := board.CheckStack(duty, a.BCT)
	if err != nil {
		return a, err
	}
	a.Multipliers, a.Allowed = check.Multipliers, check.Allowed
	if c.High > 0 {
		a.Load, a.Verdict, a.BoxesHigh = &check.Load, check.Verdict, check.HighThatHolds(duty)
	}
	return a, nil
}

// board fills edge crush and caliper from the flags, else from the grade.
func (c *strengthCmd) board(p plant.Plant, a *strengthAnswer, v *fault.Violations) {
	if c.Grade != "" {
		g, ok := gradeOf(p, c.Grade)
		v.Require(ok, "--grade", c.Grade, "is not a grade of the plant: "+gradeCodes(p))
		catalogue := board.NewCatalogue(p.Papers, p.Flutes)
		a.ECT, a.ECTStated = g.ECT(catalogue)
		a.Caliper = g.Caliper(catalogue)
		if ok && a.ECT == 0 && c.ECT == nil {
			v.Add("--grade", c.Grade, "states no edge crush, and not every paper's strength is known", "give --ect-kn-m")
		}
	}
	if c.ECT != nil {
		a.ECT, a.ECTStated = quantity.LineLoad(*c.ECT*1000), true
		v.Require(*c.ECT > 0 && *c.ECT <= 100, "--ect-kn-m", fmt.Sprint(*c.ECT), "must be more than 0 and at most 100")
	}
	if c.CaliperMM != nil {
		a.Caliper = quantity.FromMillimetres(*c.CaliperMM)
		v.Require(*c.CaliperMM > 0 && *c.CaliperMM <= 30, "--caliper-mm", fmt.Sprint(*c.CaliperMM), "must be more than 0 and at most 30")
	}
	if c.Grade == "" && (c.ECT == nil || c.CaliperMM == nil) {
		v.Add("--grade", "", "is missing", "give a grade, or both --ect-kn-m and --caliper-mm")
	}
}

func (c *strengthCmd) perimeter(f quantity.Format, a *strengthAnswer, v *fault.Violations) {
	switch {
	case c.PerimeterMM != nil:
		a.Perimeter = quantity.FromMillimetres(*c.PerimeterMM)
		v.Require(*c.PerimeterMM > 0 && *c.PerimeterMM <= 24000, "--perimeter-mm", fmt.Sprint(*c.PerimeterMM), "must be more than 0 and at most 24000")
	case c.Inside != "":
		size, err := parseInside(c.Inside, f, false)
		if err == nil {
			size, err = box.NewInside(size.Length, size.Width, size.Height)
		}
		v.Under("--inside", err)
		a.Perimeter = size.Perimeter()
		a.Notes = append(a.Notes, board.OutsideMcKeeRange(size.Length, size.Width, size.Height)...)
	default:
		v.Add("--inside", "", "is missing", "give the inside size, or --perimeter-mm")
	}
}

func (c *strengthCmd) duty(v *fault.Violations) {
	v.Require(c.MassKG >= 0 && c.MassKG <= 5000, "--mass-kg", fmt.Sprint(c.MassKG), "must be from 0 to 5000")
	v.Require(c.High >= 0 && c.High <= 100, "--high", fmt.Sprint(c.High), "must be from 0 to 100")
	v.Require(c.ContentsPct >= 0 && c.ContentsPct <= 100, "--contents-pct", fmt.Sprint(c.ContentsPct), "must be from 0 to 100")
	if (c.MassKG > 0) != (c.High > 0) {
		v.Add("--high", fmt.Sprint(c.High), "and --mass-kg belong together", "give both, or neither")
	}
}

// dashed names the flags of violations whose fields are plain.
func dashed(err error) (out fault.Violations) {
	out.Under("-", err)
	for i := range out {
		out[i].Field = "--" + strings.ReplaceAll(strings.TrimPrefix(out[i].Field, "-."), "_", "-")
	}
	return out
}

func gradeOf(p plant.Plant, code string) (board.Grade, bool) {
	for _, g := range p.Grades {
		if g.Code == ident.Grade(code) {
			return g, true
		}
	}
	return board.Grade{}, false
}

func gradeCodes(p plant.Plant) string {
	codes := make([]string, len(p.Grades))
	for i, g := range p.Grades {
		codes[i] = string(g.Code)
	}
	return strings.Join(codes, ", ")
}

// table writes the answer for people, in the plant's units.
func (a strengthAnswer) table(w io.Writer, f quantity.Format) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	how := "summed from the papers"
	if a.ECTStated {
		how = "stated"
	}
	fmt.Fprintf(t, "edge crush\t%s\t%s\t%s\n", f.LineLoad(a.ECT), f.LineLoadUnit(), how)
	fmt.Fprintf(t, "caliper\t%s\t%s\n", f.Caliper(a.Caliper), f.CaliperUnit())
	fmt.Fprintf(t, "perimeter\t%s\t%s\n", f.Length(a.Perimeter), f.LengthUnit())
	fmt.Fprintf(t, "compression\t%s\t%s\t%s to %s\n", f.Force(a.BCT), f.ForceUnit(), f.Force(a.Low), f.Force(a.High))
	for _, name := range slices.Sorted(maps.Keys(a.Multipliers)) {
		fmt.Fprintf(t, "keeps, %s\t%.3f\n", strings.ReplaceAll(name, "_", " "), a.Multipliers[name])
	}
	fmt.Fprintf(t, "may bear\t%s\t%s\n", f.Force(a.Allowed), f.ForceUnit())
	if a.Load != nil {
		fmt.Fprintf(t, "load on the lowest box\t%s\t%s\t%s; %d high at most\n", f.Force(*a.Load), f.ForceUnit(), a.Verdict, a.BoxesHigh)
	}
	fmt.Fprintf(t, "formula\t%s\n", a.Formula)
	fmt.Fprintf(t, "source\t%s\n", a.Source)
	for _, n := range a.Notes {
		fmt.Fprintf(t, "note\t%s\n", n)
	}
	return t.Flush()
}
