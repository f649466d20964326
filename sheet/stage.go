package sheet

import (
	"fmt"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// stands lists paper and metres of each stand over the block, and the rolls to stage in order of use.
func (l *runList) stands(b []runs.Run) table {
	t := table{points: small, columns: []column{
		{head: "stand", width: 38}, {head: "paper", width: 18, bold: true}, {head: "web, " + l.LengthUnit(), width: 18, anchor: "end"},
		{head: l.RunUnit(), width: 20, anchor: "end"}, {head: l.MassUnit(), width: 18, anchor: "end"}, {head: "stage, in order of use"},
	}}
	stage := l.inner() - 38 - 18 - 18 - 20 - 18 - 2*cellGap
	for _, d := range draws(l.plan.Rolls.Needs, b) {
		lines := l.folio.joined(stage, style{points: small}, l.toStage(d))
		t.rows = append(t.rows, []string{d.stand, string(d.paper), l.Length(d.web), l.Run(d.metres), l.Mass(d.mass), lines[0]})
		for _, more := range lines[1:] {
			t.rows = append(t.rows, []string{"", "", "", "", "", more})
		}
	}
	return t
}

// toStage names the rolls of one stand in order of use, and the metres that no roll covers.
func (l *runList) toStage(d drawn) []string {
	var out []string
	for _, u := range d.uses {
		out = append(out, l.rollWords(u.Roll, u.Truck, u.Metres))
	}
	if m := d.missing(); m > 0 {
		out = append(out, "NOT COVERED "+l.web(m))
	}
	return out
}

// uncovered says what needs a decision before a block can run: paper that no roll or delivery covers.
func (l *runList) uncovered(b []runs.Run) []string {
	var out []string
	for _, d := range draws(l.plan.Rolls.Needs, b) {
		if m := d.missing(); m > 0 {
			out = append(out, fmt.Sprintf("PAPER MISSING   %s at %s on %s: %s", d.paper, l.size(d.web), d.stand, l.web(m)))
		}
	}
	return out
}

// rollWords names a roll to stage: its number and metres, marked as butt; or the delivery it must come from.
func (l *runList) rollWords(id ident.Roll, truck string, metres quantity.Distance) string {
	if truck != "" {
		return fmt.Sprintf("DELIVERY %s (%s)", truck, l.web(metres))
	}
	butt := ""
	if l.butts[id] {
		butt = " butt"
	}
	return fmt.Sprintf("%s%s (%s)", id, butt, l.web(metres))
}
