// Package waste foresees what a run or a job throws away even where nothing goes
// wrong: side trim, first cuts, ends and changes of a run; set-up sheets, slots or
// skeleton of a job. What is wasted beyond it could have been spared.
package waste

import (
	"math"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// The parts of planned waste, in words.
const (
	Trim        = "trim, as planned"
	FirstCuts   = "first cuts, as planned"
	Ends        = "ends of lanes, as planned"
	Changes     = "changes before runs, as planned"
	SetUpSheets = "set-up sheets, as planned"
	Running     = "running loss, as stated"
)

// Part is one part of what is thrown away.
type Part struct {
	What   string
	Sheets float64 // whole sheets of it; 0 where it is strips, ends or cut-outs
	Area   quantity.Area
	Mass   quantity.Mass
}

// Run is what the run after before leaves beside its good sheets; before is nil
// where nothing is known before it. Parts that are nothing are left out.
//
//	web·(length + losses of the changes) = good sheets + the parts' areas
//
// The losses are those that its paper is reckoned with.
func Run(r runs.Run, before *runs.Run, l corrugator.Limits, board quantity.Grammage) []Part {
	var sheets, first, ends float64
	for _, n := range r.Lanes {
		one := n.Slit.Metres() * n.Chop.Metres()
		rejects := float64(max(0, n.Outs*n.Cuts-n.Sheets))
		sheets += rejects
		first += rejects * one
		ends += float64(n.Outs) * (n.Slit.Metres()*r.Length.Metres() - float64(n.Cuts)*one)
	}
	loss := l.RunChangeLoss
	if before != nil && before.Web != r.Web {
		loss += l.WebChangeLoss
	}
	if before != nil && before.Grade != r.Grade {
		loss += l.GradeChangeLoss
	}
	return weighed(board, []Part{
		{What: Trim, Area: quantity.Area(r.Trim.Metres() * r.Length.Metres())},
		{What: FirstCuts, Sheets: sheets, Area: quantity.Area(first)},
		{What: Ends, Area: quantity.Area(ends)},
		{What: Changes, Area: quantity.Area(r.Web.Metres() * loss.Metres())},
	})
}

// Fed is what a job takes and gives.
type Fed struct {
	Machine convert.Machine
	Step    int // 1 is the first after the corrugator
	Colours int
	Sheets  int           // fed: sheets in the first step, pieces in later ones
	Pieces  int           // good, expected
	Piece   quantity.Area // of what is fed, a piece: the sheet's share, less what was cut out before
	PerFed  int           // pieces of one that is fed: those of a sheet in the first step, else 1
	Cut     CutOut        // what this step cuts out of a good piece
}

// SetUpSheetsOf are the sheets that setting a machine up costs by its stated
// losses, in what it is fed; colours are printed in the first step.
func SetUpSheetsOf(m convert.Machine, step, colours int) int {
	if step > 1 {
		colours = 0
	}
	return m.Loss.SetUpSheets + colours*m.Loss.PerColourSheets
}

// Job is what a job throws away by the stated losses of its machine, and what it
// cuts out of its good pieces. The running loss is what its sheets are reckoned
// with; where it happens it could have been spared.
func Job(f Fed, board quantity.Grammage) []Part {
	setUp := float64(min(SetUpSheetsOf(f.Machine, f.Step, f.Colours), f.Sheets))
	running := float64(f.Sheets) * f.Machine.Loss.RunningPct / 100
	whole := float64(f.Piece) * float64(max(f.PerFed, 1))
	return weighed(board, []Part{
		{What: SetUpSheets, Sheets: setUp, Area: quantity.Area(setUp * whole)},
		{What: Running, Sheets: running, Area: quantity.Area(running * whole)},
		{What: f.Cut.What, Area: quantity.Area(float64(f.Pieces) * float64(f.Cut.Area))},
	})
}

// weighed leaves out what is nothing. A trillionth of a square metre is noise.
func weighed(board quantity.Grammage, all []Part) []Part {
	const noise = 1e-12
	out := all[:0]
	for _, p := range all {
		if p.Sheets == 0 && math.Abs(float64(p.Area)) < noise {
			continue
		}
		p.Mass = quantity.Mass(float64(p.Area) * float64(board))
		out = append(out, p)
	}
	return out
}
