package sheet

import (
	"cmp"
	"fmt"
	"strconv"

	"github.com/flutewright/flutewright/draw"
)

// printing says how many colours stand on which side of the box.
func (t *ticket) printing() string {
	it := t.items[t.demand.Item]
	if it.Colours == 0 {
		return "none"
	}
	return fmt.Sprintf("%s, %s", t.plural(it.Colours, "colour", "colours"), cmp.Or(it.PrintSide, "outside"))
}

// printsHere says whether this job prints: the first step does, where there is a colour.
func (t *ticket) printsHere() bool { return t.job.Step == 1 && t.items[t.demand.Item].Colours > 0 }

// printsFrom is the side that the machine prints from: with the way the stack comes it decides the turn.
func (t *ticket) printsFrom() string {
	if t.machine.PrintsBelow {
		return "below"
	}
	return "above"
}

// packing lists bundle, layer and unit as the plan has them.
func (t *ticket) packing() []limit {
	l, err := t.load(t.job.Release)
	if err != nil {
		return []limit{{"bundle", t.plural(t.perBundle(), "piece", "pieces")}, {"pallet", "no load planned"}}
	}
	if l.Refusal != "" {
		return []limit{{"bundle", t.plural(l.PerBundle, "piece", "pieces")}, {"pallet", string(l.Pallet)}, {"load", "REFUSED, see below"}}
	}
	odd := "none"
	if l.OddBundle > 0 {
		odd = t.plural(l.OddBundle, "piece", "pieces")
	}
	return []limit{
		{"bundle", fmt.Sprintf("%s × %s × %s", t.Length(l.BundleLength), t.Length(l.BundleWidth), t.size(l.BundleHeight.RoundTo(t.Step())))},
		{"bundle mass, about", t.mass(l.BundleMass)},
		{"bundles, full", t.Count(l.Bundles)},
		{"odd bundle, tag it", odd},
		{"pallet", string(l.Pallet)},
		{"layer", fmt.Sprintf("%s, %s", t.plural(l.PerLayer, "bundle", "bundles"), map[bool]string{true: "agreed pattern", false: "computed"}[l.Agreed])},
		{"layers", strconv.Itoa(l.Layers)},
		{"unit", fmt.Sprintf("%s, %s high", t.plural(l.PerUnit, "piece", "pieces"), t.size(l.UnitHeight.RoundTo(t.Step())))},
		{"units", fmt.Sprintf("%s, last one %s", t.Count(l.Units), t.Count(l.LastUnit))},
		{"unit mass, about ±5 %", t.mass(l.UnitMass)},
	}
}

// watch lists quality limits, and the stacking check with its uncertainty.
func (t *ticket) watch() []limit {
	out := t.limits(t.machine, t.items[t.demand.Item], t.printsHere())
	if st := t.demand.Strength; st != nil {
		out = append(out, limit{"stacking, filled box", fmt.Sprintf("%s: %s of %s %s", st.Verdict, t.Force(st.Load), t.Force(st.Allowed), t.ForceUnit())},
			limit{"  estimate", "±20 to 25 %, no test"})
	}
	return out
}

// pallet draws one layer of the unit, or says in words why there is none.
func (t *ticket) pallet(x, y, width float64) {
	t.put(x, y+3.4, style{points: tiny, tone: &quiet}, "one layer of the unit, from above")
	t.line(x, y+5, x+width, y+5, 0.3)
	l, err := t.load(t.job.Release)
	switch {
	case err != nil:
		t.put(x, y+11, style{points: small}, "No load is planned for this release.")
	case l.Refusal != "":
		t.paragraph(x, y+11, width, style{points: small, bold: true, tone: &signal}, l.Refusal)
	default:
		t.picture(draw.Layer(layer(l, t.deck(l)), t.folio.Format), x, y+7, width, t.floor()-y-8)
	}
}

// blank draws what the sheet becomes, as large as the tables below leave room for.
func (t *ticket) blank(below float64) {
	shape, ok := t.shape()
	if !ok {
		return
	}
	high := min(90, max(40, t.floor()-t.y-below-10))
	t.y = t.picture(draw.Blank(shape, t.folio.Format), margin, t.y, t.inner(), high) + 3
}
