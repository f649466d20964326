package runs

import "math"

// percentSlack forgives the rounding of a percentage that is a whole number of
// sheets: 5 % of 18,000 is 900 whatever the last bits say.
const percentSlack = 1e-9

func ceilPct(sheets int, pct float64) int64 {
	return int64(math.Ceil(float64(sheets)*pct/100 - percentSlack))
}

func floorPct(sheets int, pct float64) int64 {
	return int64(math.Floor(float64(sheets)*pct/100 + percentSlack))
}
