package combine

// partnersTaken is the number of runs of possible partners that go for a missing item.
const partnersTaken = 3

// partnered draws a run, not yet taken, of an item that may stand beside item i;
// -1 where the one drawn may not be taken or there is none. What no web takes alone
// is made only where a partner's run is given up for it.
func (x *search) partnered(i int32) int {
	pick, seen := -1, 0
	for _, j := range x.partners(i) {
		for _, q := range x.holders[x.at[j]:x.at[j+1]] {
			if x.gone[q] || x.fixed(int(q)) {
				continue
			}
			seen++
			if x.rnd.IntN(seen) == 0 {
				pick = int(q)
			}
		}
	}
	return pick
}

// partners lists the items that may stand beside item i on some stock, they two alone.
func (x *search) partners(i int32) []int32 {
	if list, known := x.beside[i]; known {
		return list
	}
	var list []int32
	for j := range int32(len(x.s.Items)) {
		if j != i && x.s.besides(i, j) {
			list = append(list, j)
		}
	}
	if x.beside == nil {
		x.beside = map[int32][]int32{}
	}
	x.beside[i] = list
	return list
}

// besides reports whether some strips of two items are legal on some stock.
func (s *shop) besides(i, j int32) bool {
	for _, kind := range s.Items[i].Kinds {
		for _, st := range s.byKind[kind] {
			for a := int32(1); a <= s.mostOuts(i, kind); a++ {
				for b := int32(1); b <= s.mostOuts(j, kind); b++ {
					if s.legal(int32(st), []lane{{i, a}, {j, b}}) {
						return true
					}
				}
			}
		}
	}
	return false
}
