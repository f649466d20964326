package runs

import "slices"

// sequenceAll free runs and fewer are put into the cheapest of all sequences.
const sequenceAll = 6

// cheapestOfAll prices every sequence of the runs behind the front and puts the
// first of the cheapest into list. What a sequence costs is exact, lateness included.
func (x *pricing) cheapestOfAll(list []Run, front int) {
	trial, best, cost := slices.Clone(list), slices.Clone(list), x.sequenceCost(list)
	var place func(at int)
	place = func(at int) {
		if at == len(trial) {
			if v := x.sequenceCost(trial); v < cost-1e-9 {
				cost = v
				copy(best, trial)
			}
			return
		}
		for k := at; k < len(trial); k++ {
			trial[at], trial[k] = trial[k], trial[at]
			place(at + 1)
			trial[at], trial[k] = trial[k], trial[at]
		}
	}
	place(front)
	copy(list, best)
}
