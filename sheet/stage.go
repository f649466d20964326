package sheet

import (
	"fmt"
	"strings"

	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
)

// stands lists paper and metres of each stand over the block, and the rolls to stage in order of use.
func (l *runList) stands(b []runs.Run) table {
	t := table{points: small, columns: []column{
		{head: "stand", width: 38}, {head: "paper", width: 18, bold: true}, {head: "web, " + l.LengthUnit(), width: 18, anchor: "end"},
		{head: l.RunUnit(), width: 20, anchor: "end"}, {head: l.MassUnit(), width: 18, anchor: "end"}, {head: "stage, in order of use; spliced in at"},
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
		out = append(out, l.rollWords(u))
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

// rollWords names a roll to stage: its number, marked as butt, or the delivery
// it must come from; in brackets its metres, where it stands now, the run and
// metre at which it is spliced in, and what becomes of its rest when the plan is through with it.
func (l *runList) rollWords(u used) string {
	name := string(u.Roll)
	switch {
	case u.Truck != "":
		name = "DELIVERY " + u.Truck
	case l.butts[u.Roll]:
		name += " butt"
	}
	more := []string{l.web(u.Metres)}
	if at := l.places[u.Roll]; at != "" {
		more[0] += " from " + at
	}
	if u.Splice {
		more = append(more, fmt.Sprintf("run %d at %s", u.run, l.web(u.At)))
	}
	if r, ends := l.rests[u.Roll]; ends && u.Roll != "" && r.Left > 0 {
		switch r.Fate {
		case rolls.Keep:
			more = append(more, "put away "+l.web(r.Left))
		case rolls.Strip:
			more = append(more, "strip "+l.web(r.Left))
		case rolls.OnStand:
			more = append(more, l.web(r.Left)+" stay")
		}
	}
	return fmt.Sprintf("%s (%s)", name, strings.Join(more, "; "))
}
