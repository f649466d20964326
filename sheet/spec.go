package sheet

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/plan/waste"
)

// spec lists the sheet, how it is made, and its tools.
func (t *ticket) spec() []limit {
	it, d := t.items[t.demand.Item], t.demand
	out := []limit{
		{"style", string(it.Style)},
		{"size", t.inside(it)},
		{"board", fmt.Sprintf("%s, flute %s", d.Grade, t.grades[d.Grade].Flute)},
		{"sheet, chop × slit", fmt.Sprintf("%s × %s", t.Length(d.Sheet.Chop), t.size(d.Sheet.Slit))},
		{"scores from slit edge", lengthsInWords(t.folio.words, d.Sheet.Scores)},
		{"panels, lap first", t.panels(it)},
		{"pieces from a sheet", strconv.Itoa(max(1, d.PerSheet))},
		{"joint", cmp.Or(it.Joint, "none")},
		{"print", t.printing()},
	}
	if t.printsHere() {
		out = append(out, limit{"this machine prints from", t.printsFrom()})
	}
	if it.Plate != "" {
		out = append(out, limit{"plate", t.tool(string(it.Plate))})
	}
	if it.Die != "" {
		out = append(out, limit{"die", t.tool(string(it.Die))})
	}
	out = append(out, limit{"from runs", t.fromRuns()})
	for _, p := range waste.OfJob(t.book, t.plan, t.job.Release, t.job.Machine) {
		out = append(out, limit{"waste, " + wasteName(p), t.wasteFigure(p)})
	}
	return out
}

// tool names a plate or die, and says so if it is away.
func (t *ticket) tool(id string) string {
	for _, tool := range t.book.Plant.Tools {
		if tool.ID == id && tool.Away {
			return fmt.Sprintf("%s: AWAY until %s", id, t.clock(tool.BackAt))
		}
	}
	return id
}

// fromRuns lists the corrugator runs that the sheets come from, with their good sheets.
func (t *ticket) fromRuns() string {
	var out []string
	for _, r := range t.plan.Runs {
		for _, l := range r.Lanes {
			if l.Order == t.job.Release.String() {
				out = append(out, fmt.Sprintf("%d (%s)", r.Seq, t.Count(l.Sheets)))
			}
		}
	}
	if len(out) == 0 {
		return "none: sheets from the floor"
	}
	return strings.Join(out, ", ")
}
