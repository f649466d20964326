package combine

// link says what a lane of up to so many pieces earns where its run makes so many
// pieces of a partner or more: less than a lane beside anyone, for no second run of
// that kind can help to make the item.
type link struct {
	top    int64
	theirs int64
	earned float64
}

// beside is what g pieces earn beside h of a partner.
func (c *counter) beside(g int64, partner int32, h int64) float64 {
	v := c.at(g)
	for _, l := range c.links[partner] {
		if g <= l.top && h >= l.theirs {
			v = min(v, l.earned)
		}
	}
	return v
}

// counted is what a lane of a run earns in a counter.
func (m *master) counted(c *counter, l lane, lanes []lane, length int64) float64 {
	s := m.s
	g := s.good(int(l.item), int(l.outs), length)
	v := c.at(g)
	if c.links == nil {
		return v
	}
	for _, o := range lanes {
		if o.item != l.item {
			v = min(v, c.beside(g, m.of[o.item], s.good(int(o.item), int(o.outs), length)))
		}
	}
	return v
}

// link lists the counters with links that have a price, by strand and partner.
func (m *master) link() {
	if n := len(m.strands); len(m.linked) != n*n {
		m.linked = make([][]*counter, n*n)
	}
	for k := range m.linked {
		m.linked[k] = m.linked[k][:0]
	}
	for k := range m.strands {
		t := &m.strands[k]
		for c := range t.counters {
			if q := &t.counters[c]; q.price > 0 {
				for o := range q.links {
					at := k*len(m.strands) + int(o)
					m.linked[at] = append(m.linked[at], q)
				}
			}
		}
	}
}

// linkedOf are the counters with links of a lane beside another.
func (m *master) linkedOf(l, o lane) []*counter {
	return m.linked[int(m.of[l.item])*len(m.strands)+int(m.of[o.item])]
}

// linkedIn reports whether some lane has a link with another.
func (m *master) linkedIn(lanes []lane) bool {
	for _, l := range lanes {
		for _, o := range lanes {
			if len(m.linkedOf(l, o)) > 0 {
				return true
			}
		}
	}
	return false
}

// less is by how much lanes earn less than beside anyone at a length, and the
// end of the stretch from there, not beyond end, on which that stays so.
func (m *master) less(lanes []lane, length, end int64) (float64, int64) {
	s, v := m.s, 0.0
	for i, l := range lanes {
		for j, o := range lanes {
			for _, c := range m.linkedOf(l, o) {
				for _, q := range c.links[m.of[o.item]] {
					end = min(end, s.below(l, q.top+1, length), s.below(o, q.theirs, length))
				}
				if !m.linkedBefore(c, lanes[:j], i) {
					v += c.price * (c.at(s.good(int(l.item), int(l.outs), length)) - m.counted(c, l, lanes, length))
				}
			}
		}
	}
	return v, end
}

// linkedBefore reports whether a counter of a lane has a link with one of those
// before, the lane itself aside: then it is counted there.
func (m *master) linkedBefore(c *counter, before []lane, own int) bool {
	for j, o := range before {
		if j != own && c.links[m.of[o.item]] != nil {
			return true
		}
	}
	return false
}

// below is the greatest length at which a lane makes less than so many pieces;
// the greatest there is where it makes as many already.
func (s *shop) below(l lane, pieces, length int64) int64 {
	to := (ceil(pieces, int64(l.outs))+s.Line.Rejects)*s.Items[l.item].Length - 1
	if to < length {
		return 1<<63 - 1
	}
	return to
}
