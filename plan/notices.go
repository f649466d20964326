package plan

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// weight of a kind of notice before money and time rank within it.
var noticeWeight = map[string]int{
	"late": 1, "unplanned": 2, "paper": 3, "strength": 4, "hold": 5, "load": 6, "kit": 7, "tool": 8, "stop": 8, "crew": 8, "freeze": 8, "stock": 9, "calendar": 10,
}

// conclude derives notices and the summary from the stations' answers.
func (m *maker) conclude(p *Plan) {
	m.lateNotices(p)
	m.unplannedNotices(p)
	m.paperNotices(p)
	m.strengthNotices(p)
	m.loadNotices(p)
	m.toolNotices(p)
	m.stopNotices(p)
	m.crewNotices(p)
	m.freezeNotices(p)
	m.holdNotices(p)
	m.rollNotices(p)
	m.calendarNotices(p)
	m.receivingNotices(p)
	m.goodsNotices(p)
	slices.SortStableFunc(p.Notices, func(a, b Notice) int {
		return cmp.Or(cmp.Compare(noticeWeight[a.Kind], noticeWeight[b.Kind]), cmp.Compare(a.Rank, b.Rank))
	})
	for i := range p.Notices {
		p.Notices[i].Rank = i + 1
	}
	m.summarise(p)
}

// say writes quantities with their units, in SI as every engine does; Worded
// brings them into the units of a plant.
type say struct{ quantity.Format }

func (m *maker) say() say {
	d := m.ix.book.Plant.Display
	return say{quantity.Format{Currency: d.Currency, Dates: d.Dates}}
}

func (s say) width(l quantity.Length) string    { return s.Length(l) + " " + s.LengthUnit() }
func (s say) metres(d quantity.Distance) string { return s.Run(d) + " " + s.RunUnit() }
func (s say) force(f quantity.Force) string     { return s.Force(f) + " " + s.ForceUnit() }
func (s say) money(v quantity.Money) string     { return s.WholeMoney(v) + " " + s.Currency }

// clockTime is weekday and time in the plant's zone.
func (m *maker) clockTime(t time.Time) string {
	zone, err := time.LoadLocation(m.ix.book.Plant.Calendar.Zone)
	if err != nil {
		zone = time.UTC // the clock station has refused an unknown zone before
	}
	return t.In(zone).Format("Mon 15:04")
}

func (m *maker) item(r ident.Release) string {
	if i, known := m.place[r]; known {
		return m.all[i].item.Description
	}
	return ""
}

func (m *maker) lateNotices(p *Plan) {
	for _, f := range p.Clock.Finishes {
		if f.Late <= 0 {
			continue
		}
		text := fmt.Sprintf("%s (%s) is %s late", f.Release, m.item(f.Release), spell(f.Late.Duration()))
		if f.Overdue {
			text = fmt.Sprintf("%s (%s) was overdue before planning and is %s late", f.Release, m.item(f.Release), spell(f.Late.Duration()))
		}
		if f.WaitsFor != "" {
			text += "; it waits for " + f.WaitsFor
		}
		if f.LateCost > 0 {
			text += "; lateness costs " + m.say().money(f.LateCost)
		}
		p.Notices = append(p.Notices, Notice{Kind: "late", Release: f.Release, Text: text, ActBy: f.LatestExit, Rank: -int(f.LateCost)})
	}
}

func (m *maker) unplannedNotices(p *Plan) {
	for _, u := range p.Unplanned {
		r, err := ident.ParseRelease(u.Order)
		if err != nil {
			continue // a name that is no release has no page to link to; Unplanned still lists it
		}
		p.Notices = append(p.Notices, Notice{Kind: "unplanned", Release: r, Text: fmt.Sprintf("%s (%s) is not planned: %s", u.Order, m.item(r), u.Reason)})
	}
}

func (m *maker) paperNotices(p *Plan) {
	say := m.say()
	for _, pos := range p.Rolls.Positions {
		if pos.Short <= 0 {
			if pos.Note != "" {
				p.Notices = append(p.Notices, Notice{Kind: "paper", Rank: 1, Text: fmt.Sprintf("%s at %s is in the house, but not in one roll for every stand: %s", pos.Paper, say.width(pos.Web), pos.Note)})
			}
			continue
		}
		text := fmt.Sprintf("%s at %s: %s more are needed than are in the house, from run %d", pos.Paper, say.width(pos.Web), say.metres(pos.Short), pos.ShortRun)
		switch {
		case pos.EndedBy == nil:
			text += "; no delivery is on its way"
		case pos.EndedBy.InTime:
			text += fmt.Sprintf("; %s brings %s in time, at %s", pos.EndedBy.ID, say.metres(pos.EndedBy.Metres), m.clockTime(pos.EndedBy.ETA))
		default:
			text += fmt.Sprintf("; %s brings %s only at %s", pos.EndedBy.ID, say.metres(pos.EndedBy.Metres), m.clockTime(pos.EndedBy.ETA))
		}
		rank := 0
		if pos.EndedBy != nil && pos.EndedBy.InTime {
			rank = 1
		}
		p.Notices = append(p.Notices, Notice{Kind: "paper", Text: text, ActBy: pos.ShortAt, Rank: rank})
	}
}

func (m *maker) strengthNotices(p *Plan) {
	for _, d := range p.Demands {
		if d.Strength == nil || d.Strength.Verdict == "holds" {
			continue
		}
		text := fmt.Sprintf("%s (%s) on %s: the lowest box may bear %s and would carry %s", d.Release, m.item(d.Release), d.Grade, m.say().force(d.Strength.Allowed), m.say().force(d.Strength.Load))
		rank := 0
		if d.Strength.Verdict == "close" {
			text, rank = text+"; that is within the estimate's error of ±25 %", 1
		}
		if d.Strength.Advice != "" {
			text += "; " + d.Strength.Advice
		}
		p.Notices = append(p.Notices, Notice{Kind: "strength", Release: d.Release, Text: text, Rank: rank})
	}
}

func (m *maker) loadNotices(p *Plan) {
	for _, l := range p.Loads {
		if l.Refusal != "" {
			p.Notices = append(p.Notices, Notice{Kind: "load", Release: l.Release, Text: fmt.Sprintf("%s (%s) cannot be palletised: %s", l.Release, m.item(l.Release), l.Refusal)})
		}
	}
}

// spell writes a span in the two largest of days, hours and minutes.
func spell(d time.Duration) string {
	d = d.Round(time.Minute)
	switch days, hours, minutes := int(d.Hours())/24, int(d.Hours())%24, int(d.Minutes())%60; {
	case days > 0:
		return fmt.Sprintf("%d d %d h", days, hours)
	case hours > 0:
		return fmt.Sprintf("%d h %02d min", hours, minutes)
	default:
		return fmt.Sprintf("%d min", minutes)
	}
}
