package sheet

import (
	"strconv"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
)

const (
	positionsWidth = 58.0 // mm, of each of the three tables
	positionRow    = 5.2
)

// positionRows is how many rows the longest of the three tables has: slits in one, scores parted over two.
func positionRows(u plan.Setup) int {
	return max(len(u.Slits), (len(u.Scores)+1)/2)
}

// positions prints where slitters and scorers stand, counted from the operator side.
func (s *source) positions(f *folio, y float64, u plan.Setup) {
	half := (len(u.Scores) + 1) / 2
	slits := s.positionTable("slit", 1, u.Slits, u.FromOp)
	f.table(margin, y, positionsWidth, slits)
	if len(u.Scores) == 0 {
		f.put(margin+positionsWidth+4, y+10, style{points: plain}, "no scores")
		return
	}
	f.table(margin+positionsWidth+4, y, positionsWidth, s.positionTable("score", 1, u.Scores[:half], u.ScoresOp[:half]))
	if half < len(u.Scores) {
		f.table(margin+2*(positionsWidth+4), y, positionsWidth, s.positionTable("score", half+1, u.Scores[half:], u.ScoresOp[half:]))
	}
}

func (s *source) positionTable(what string, first int, fromCentre, fromOperator []quantity.Length) table {
	w := s.words
	t := table{height: positionRow, columns: []column{
		{head: what, width: 10, anchor: "end"},
		{head: "from centre, " + w.LengthUnit(), anchor: "end"},
		{head: "from operator side", anchor: "end", bold: true},
	}}
	for i, x := range fromCentre {
		sign := ""
		if x > 0 {
			sign = "+"
		}
		t.rows = append(t.rows, []string{strconv.Itoa(first + i), sign + w.Length(x), w.Length(fromOperator[i])})
	}
	return t
}
