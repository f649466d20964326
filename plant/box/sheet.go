package box

import (
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// MaxSheet bounds a stated sheet's sides; a plant's machines set the real limits.
const MaxSheet = 10 * quantity.Metre

// NewSheet returns a stated sheet, or all violations: sides positive and at
// most MaxSheet, scores rising and inside the slit width.
func NewSheet(chop, slit quantity.Length, scores []quantity.Length) (Sheet, error) {
	var v fault.Violations
	side := func(name string, l quantity.Length) {
		v.Require(l > 0, name, l.String(), "must be more than 0")
		v.Require(l <= MaxSheet, name, l.String(), "must be at most "+MaxSheet.String())
	}
	side("chop", chop)
	side("slit", slit)
	last := quantity.Length(0)
	for i, s := range scores {
		name := "scores[" + strconv.Itoa(i) + "]"
		v.Require(s > last, name, s.String(), "must rise from the slit edge: more than "+last.String())
		v.Require(s < slit, name, s.String(), "must lie inside the slit width "+slit.String())
		last = s
	}
	if err := v.Err(); err != nil {
		return Sheet{}, err
	}
	return Sheet{chop, slit, append([]quantity.Length(nil), scores...)}, nil
}

// Strips returns the widths between slit edges and scores; their sum is the slit width.
func (s Sheet) Strips() []quantity.Length {
	out := make([]quantity.Length, 0, len(s.Scores)+1)
	last := quantity.Length(0)
	for _, sc := range s.Scores {
		out = append(out, sc-last)
		last = sc
	}
	return append(out, s.Slit-last)
}

// NoticeFrom is the difference between an approved sheet and the formula that is worth a look.
const NoticeFrom = 2 * quantity.Millimetre

// Difference is approved minus formula. The approved sheet rules; the
// difference is shown, never applied.
type Difference struct {
	Chop      quantity.Length   `json:"chop_mm"`
	Slit      quantity.Length   `json:"slit_mm"`
	Scores    []quantity.Length `json:"scores_mm,omitempty"`    // indexed like the approved sheet's
	ScoreSets bool              `json:"score_sets,omitempty"`   // the two have different numbers of scores
	Notice    bool              `json:"worth_a_look,omitempty"` // something differs by more than NoticeFrom
}

// Against compares an approved sheet with the one the formula proposes.
func (s Sheet) Against(formula Sheet) Difference {
	d := Difference{Chop: s.Chop - formula.Chop, Slit: s.Slit - formula.Slit}
	d.Notice = abs(d.Chop) > NoticeFrom || abs(d.Slit) > NoticeFrom
	if len(s.Scores) != len(formula.Scores) {
		d.ScoreSets, d.Notice = true, true
		return d
	}
	for i, sc := range s.Scores {
		d.Scores = append(d.Scores, sc-formula.Scores[i])
		d.Notice = d.Notice || abs(d.Scores[i]) > NoticeFrom
	}
	return d
}

func abs(l quantity.Length) quantity.Length { return max(l, -l) }
