package plan

// summarise puts the plan into one line of figures.
func (m *maker) summarise(p *Plan) {
	s := Summary{Orders: len(m.all), Unplanned: len(p.Unplanned), BoardCost: p.Totals.Cost, PressCost: p.Clock.Cost, LateCost: p.Clock.LateCost}
	s.Planned = s.Orders - s.Unplanned
	for _, f := range p.Clock.Finishes {
		if f.Late > 0 {
			s.Late++
			s.LateHours += float64(f.Late) / 60
		}
	}
	gone := map[string]bool{}
	for _, u := range p.Unplanned {
		gone[u.Order] = true
	}
	for _, d := range p.Demands {
		if !gone[d.Release.String()] {
			s.Boxes += d.ToMake
		}
	}
	s.Cost = s.BoardCost + s.PressCost + s.LateCost
	s.PaperMass = paperMass(m.ix, p)
	for _, t := range p.Clock.Runs {
		if t.End.After(s.Ends) {
			s.Ends = t.End
		}
	}
	p.Summary = s
}
