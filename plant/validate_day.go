package plant

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// day judges what a plant states for the running day: lanes, crews, overtime,
// freezes, supplies and substitutes.
func (c *check) day(p Plant) {
	c.lanes(p.FloorLanes)
	c.crews(p)
	c.within("overtime.per_h", float64(p.Overtime.PerHour), 0, 1e6)
	c.within("overtime.corrugator_per_h", float64(p.Overtime.Corrugator), 0, 1e6)
	c.within("overtime.most_min", float64(p.Overtime.Most), 0, 1440)
	areas := append(slices.Clone(c.names.machines), "corrugator", "trucks")
	c.unique("freezes", each(p.Freezes, func(f Freeze) string { return f.Area }))
	for i, f := range p.Freezes {
		at := fmt.Sprintf("freezes[%d].", i)
		c.known(at+"area", f.Area, "areas", areas)
		c.within(at+"minutes", float64(f.Minutes), 0, 43_200)
	}
	c.supplies(p.Supplies)
	c.substitutes(p)
}

func (c *check) lanes(lanes []FloorLane) {
	c.unique("floor_lanes", each(lanes, func(l FloorLane) string { return l.Lane }))
	for i, l := range lanes {
		at := fmt.Sprintf("floor_lanes[%d].", i)
		c.within(at+"length_m", l.Length.Metres(), 0.5, 1000)
		c.word(at+"along", l.Along, "chop", "slit")
		c.length(at+"gap_mm", l.Gap, 0, 5000*mm)
	}
}

func (c *check) crews(p Plant) {
	c.unique("crews", each(p.Crews, func(v Crew) string { return v.Shift }))
	for i, v := range p.Crews {
		at := fmt.Sprintf("crews[%d].", i)
		c.known(at+"shift", v.Shift, "shifts", c.names.shifts)
		c.within(at+"crews", float64(v.Crews), 0, 200)
		for n, m := range v.Can {
			c.known(fmt.Sprintf("%scan[%d]", at, n), string(m), "machines", c.names.machines)
		}
	}
}

func (c *check) supplies(list []Supply) {
	c.unique("supplies", each(list, func(s Supply) ident.Paper { return s.Paper + " of " + ident.Paper(s.Supplier) }))
	for i, s := range list {
		at := fmt.Sprintf("supplies[%d].", i)
		c.known(at+"paper", string(s.Paper), "papers", c.names.papers)
		c.add(at+"supplier", s.Supplier, s.Supplier != "" && len(s.Supplier) <= 200, "must be named")
		c.within(at+"lead_min", float64(s.Lead), 0, 525_600)
		if s.CallOffBy != "" && !timeOfDay(s.CallOffBy) {
			c.v.Add(at+"call_off_by", s.CallOffBy, "must be a time of day", "write it as 12:00")
		}
		c.within(at+"truckload_kg", float64(s.Truckload), 0, 100_000)
		c.within(at+"cover_days", s.CoverDays, 0, 60)
	}
}

func timeOfDay(s string) bool {
	if len(s) != 5 || s[2] != ':' {
		return false
	}
	h, herr := strconv.Atoi(s[:2])
	m, merr := strconv.Atoi(s[3:])
	return herr == nil && merr == nil && h >= 0 && h < 24 && m >= 0 && m < 60
}

func (c *check) substitutes(p Plant) {
	for i, s := range p.Substitutes {
		at := fmt.Sprintf("substitutes[%d].", i)
		c.known(at+"for", string(s.For), "papers", c.names.papers)
		c.known(at+"use", string(s.Use), "papers", c.names.papers)
		if s.For == s.Use && s.For != "" {
			c.v.Add(at+"use", string(s.Use), "a paper is no substitute for itself", "name another paper")
		}
		for n, ply := range s.Plies {
			c.within(fmt.Sprintf("%splies[%d]", at, n), float64(ply), 1, 7)
		}
		for n, w := range s.Widths {
			c.length(fmt.Sprintf("%swidths_mm[%d]", at, n), w, 200*quantity.Millimetre, 6000*quantity.Millimetre)
		}
		for n, g := range s.Grades {
			c.known(fmt.Sprintf("%sgrades[%d]", at, n), string(g), "grades", c.names.grades)
		}
	}
}
