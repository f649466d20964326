// Package trimcase makes up trim problems that the engine is measured on.
package trimcase

import (
	"math"
	"math/rand/v2"

	"github.com/flutewright/flutewright/solve/combine"
)

// The machine of the cases, in millimetres: webs 1500, 1600 … 2500, at most
// eight strips and two orders on a run, runs of 150 m and more, 30 m of web lost
// with each run. Cost is web area in square metres.
const (
	narrowest, widest, stepped = 1500, 2500, 100
	sideTrim                   = 20 // both sides together
	strips                     = 8
	runLeast, runLoss          = 150_000, 30_000
	squareMetre                = 1e-6
)

// Whole is n orders of one grade, cut into whole sheets. Slits lie from 300 to
// 1800 mm, most of them narrow; chops from 400 to 3000 mm; quantities from 500 to
// 20,000 sheets, evenly by their logarithm. Half of the orders take up to 10 %
// more, half 5 % more or less.
func Whole(n int, seed uint64) combine.Problem { return grades(n, 1, seed, false) }

// Continuous is the same with lengths in place of sheets: an order wants so many
// millimetres of one strip, so the number of sheets need not be whole.
func Continuous(n int, seed uint64) combine.Problem { return grades(n, 1, seed, true) }

// Grades is n orders spread evenly over so many grades that share nothing.
func Grades(n, kinds int, seed uint64) combine.Problem { return grades(n, kinds, seed, false) }

func grades(n, kinds int, seed uint64, continuous bool) combine.Problem {
	p := combine.Problem{Line: combine.Line{
		TrimLeast: sideTrim, TrimMost: widest, Outs: strips, Orders: 2, Marks: math.MaxInt32,
		LevelOuts: []int{strips, strips}, RunLeast: runLeast, RunLoss: runLoss,
	}}
	for kind := range kinds {
		for w := int64(narrowest); w <= widest; w += stepped {
			p.Stocks = append(p.Stocks, combine.Stock{Kind: kind, Width: w, Price: squareMetre})
		}
		count := n / kinds
		from := seed
		if kinds > 1 {
			from = 100*seed + uint64(kind)
		}
		r := rand.New(rand.NewPCG(from, uint64(count)))
		for range count {
			p.Items = append(p.Items, order(r, kind, continuous))
		}
	}
	return p
}

// order draws one order. Its four draws come in a fixed sequence: slit, chop,
// quantity, tolerance.
func order(r *rand.Rand, kind int, continuous bool) combine.Item {
	skew := r.Float64()
	slit := 300 + int64(1500*skew*math.Sqrt(skew))
	chop := int64(400 + r.IntN(2601))
	sheets := math.Round(500 * math.Exp(r.Float64()*math.Log(40)))
	least, most := sheets, 1.10*sheets
	if r.IntN(2) != 0 {
		least, most = 0.95*sheets, 1.05*sheets
	}
	it := combine.Item{Width: slit, Length: chop, Kinds: []int{kind}}
	per := 1.0
	if continuous {
		per, it.Length = float64(chop), 1
	}
	const whole = 1e-6 // forgives the rounding of a percentage
	it.Least, it.Most = int64(math.Ceil(least*per-whole)), int64(math.Floor(most*per+whole))
	it.Want = it.Least
	return it
}
