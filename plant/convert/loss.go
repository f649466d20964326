package convert

import "math"

// slack keeps a quotient that is whole up to floating-point noise from being
// rounded up: sheets are counted in ones, losses stated to hundredths of a per cent.
const slack = 1e-7

// SheetsWanted returns the sheets that the corrugator must give so that pieces
// good pieces come off the last of steps: at every step, last first,
//
//	fed = ⌈(good + set-up sheets) / (1 − running loss)⌉
//
// The first step is fed sheets of ups pieces, later ones the pieces cut from
// them. colours are printed on the first step. Without steps it is ⌈pieces/ups⌉.
func SheetsWanted(pieces, ups int, steps []Machine, colours int) int {
	fed, _ := Fed(pieces, ups, steps, colours)
	return fed
}

// Fed returns SheetsWanted and what each step is fed, indexed like steps.
func Fed(pieces, ups int, steps []Machine, colours int) (sheets int, fed []int) {
	ups = max(ups, 1)
	fed = make([]int, len(steps))
	good := float64(max(pieces, 0))
	for i := len(steps) - 1; i >= 0; i-- {
		if i == 0 {
			good /= float64(ups)
		}
		if good > 0 {
			good = math.Ceil((good+lost(steps[i], i, colours))/(1-steps[i].Loss.RunningPct/100) - slack)
		}
		fed[i] = int(good)
	}
	if len(steps) == 0 {
		return (max(pieces, 0) + ups - 1) / ups, fed
	}
	return fed[0], fed
}

// PiecesExpected is the inverse of SheetsWanted: the good pieces expected, to
// the nearest whole, when so many sheets enter the first step.
func PiecesExpected(sheets, ups int, steps []Machine, colours int) int {
	good := float64(max(sheets, 0))
	for i, m := range steps {
		good = max(0, good*(1-m.Loss.RunningPct/100)-lost(m, i, colours))
		if i == 0 {
			good = math.Round(good * float64(max(ups, 1)))
		}
	}
	if len(steps) == 0 {
		good *= float64(max(ups, 1))
	}
	return int(math.Round(good))
}

// lost is what setting up costs, in sheets fed.
func lost(m Machine, step, colours int) float64 {
	if step > 0 {
		colours = 0
	}
	return float64(m.Loss.SetUpSheets + colours*m.Loss.PerColourSheets)
}
