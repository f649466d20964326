package combine

// lane is a Lane before it has a level.
type lane struct{ item, outs int32 }

// levels puts each lane on a level so that a level cuts one length and holds no
// more strips than it may. It writes the level of each lane into dst and reports
// whether there is a way. Lanes are few, so it tries all ways in order.
func (p *Problem) levels(lanes []lane, dst []int) bool {
	limit := p.Line.LevelOuts
	if len(lanes) == 1 {
		for k, most := range limit {
			if int(lanes[0].outs) <= most {
				dst[0] = k
				return true
			}
		}
		return false
	}
	var used [16]int
	var length [16]int64
	if len(limit) > len(used) {
		limit = limit[:len(used)]
	}
	var place func(i int) bool
	place = func(i int) bool {
		if i == len(lanes) {
			return true
		}
		l := p.Items[lanes[i].item].Length
		outs := int(lanes[i].outs)
		for k, most := range limit {
			if used[k] > 0 && length[k] != l || used[k]+outs > most {
				continue
			}
			before := length[k]
			used[k] += outs
			length[k] = l
			dst[i] = k
			if place(i + 1) {
				return true
			}
			used[k] -= outs
			length[k] = before
		}
		return false
	}
	return place(0)
}

// stands reports whether lanes have a way onto the levels.
func (p *Problem) stands(lanes []lane) bool {
	limit := p.Line.LevelOuts
	if len(lanes) == 2 && len(limit) == 2 {
		a, b := int(lanes[0].outs), int(lanes[1].outs)
		if a <= limit[0] && b <= limit[1] || a <= limit[1] && b <= limit[0] {
			return true
		}
		return p.Items[lanes[0].item].Length == p.Items[lanes[1].item].Length && a+b <= max(limit[0], limit[1])
	}
	var dst [64]int
	return len(lanes) <= len(dst) && p.levels(lanes, dst[:])
}
