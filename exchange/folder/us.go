package folder

import (
	"strconv"
	"strings"
)

// usUnits are the columns of a US plant's tables: the ending of a metric
// column's name, its own ending, and the factor between them (international
// foot and pound, NIST SP 811, 2008, appendix B). Longer endings stand first.
var usUnits = []struct {
	metric, us string
	factor     float64
	decimals   int
}{
	{"_m_min", "_ft_min", 1 / 0.3048, 1},
	{"_mm", "_in", 1 / 25.4, 4},
	{"_kg", "_lb", 1 / 0.45359237, 2},
	{"_m", "_ft", 1 / 0.3048, 3},
}

// inUS brings the table's columns into inches, feet and pounds; each name
// carries its unit, and the readers of tables take either.
func (t *table) inUS() {
	for column, name := range t.rows[0] {
		for _, u := range usUnits {
			stem, ok := strings.CutSuffix(name, u.metric)
			if !ok {
				continue
			}
			t.rows[0][column] = stem + u.us
			for _, row := range t.rows[1:] {
				if v, err := strconv.ParseFloat(row[column], 64); err == nil {
					row[column] = num(v*u.factor, u.decimals)
				}
			}
			break
		}
	}
}
