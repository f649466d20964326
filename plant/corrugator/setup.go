package corrugator

import (
	"github.com/flutewright/flutewright/base/quantity"
)

// Lane is the adjacent outs of one order on one knife level.
type Lane struct {
	Order  string
	Level  int // knife level, 1 the first
	Outs   int
	Slit   quantity.Length
	Chop   quantity.Length
	Scores []quantity.Length // positions from the out's operator-side edge, rising
	Cuts   int               // of each out
}

// SetUp is the dry end of one run. Positions rise from the operator side to the
// drive side; the centre line is 0, + to the drive side.
type SetUp struct {
	Slits     []quantity.Length `json:"slits_mm"`  // outs + 1, the outer two cut the side trim
	Scores    []quantity.Length `json:"scores_mm"` // every score of every out
	FromOp    []quantity.Length `json:"slits_from_operator_side_mm"`
	ScoresOp  []quantity.Length `json:"scores_from_operator_side_mm"`
	EndsOrder string            `json:"ends_order"` // the order whose knife count ends the run
	EndsCount int               `json:"ends_cuts"`
	EndsLevel int               `json:"ends_level"`
}

// NewSetUp returns the positions for lanes laid from the operator side, the
// used width centred in the web, and the knife count that ends the run. A
// position from the operator side is measured from the web's edge there.
func NewSetUp(web quantity.Length, length quantity.Distance, lanes []Lane) SetUp {
	var used quantity.Length
	for _, l := range lanes {
		used += l.Slit * quantity.Length(l.Outs)
	}
	var s SetUp
	edge := -used / 2
	s.Slits = append(s.Slits, edge)
	for _, l := range lanes {
		for range l.Outs {
			for _, score := range l.Scores {
				s.Scores = append(s.Scores, edge+score)
			}
			edge += l.Slit
			s.Slits = append(s.Slits, edge)
		}
	}
	s.FromOp, s.ScoresOp = shifted(s.Slits, web/2), shifted(s.Scores, web/2)
	s.EndsOrder, s.EndsCount, s.EndsLevel = ends(length, lanes)
	return s
}

func shifted(xs []quantity.Length, by quantity.Length) []quantity.Length {
	var out []quantity.Length
	for _, x := range xs {
		out = append(out, x+by)
	}
	return out
}

// ends returns the lane whose last cut comes last within the run: cuts × chop is
// the largest that the length holds. Of equals the first from the operator
// side. A lane whose cuts are longer than the run is passed over.
func ends(length quantity.Distance, lanes []Lane) (order string, cuts, level int) {
	var best quantity.Length = -1
	for _, l := range lanes {
		at := quantity.Length(l.Cuts) * l.Chop
		if at <= length.Length() && at > best {
			best, order, cuts, level = at, l.Order, l.Cuts, l.Level
		}
	}
	return order, cuts, level
}
