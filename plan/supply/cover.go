package supply

import (
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
)

// lack is what a level falls short of its days of cover once all that is drawn,
// coming and called for its shortage has been, and from when it stays below
// them. A day's use is what the draws take between now and the last of them,
// over at least one day (common practice, no published source): a plan of few
// hours does not stand for a whole day of the same paper.
func (p Problem) lack(l Level, last time.Time) (quantity.Distance, time.Time) {
	days := 0.0
	for _, s := range p.Supplies {
		if s.Paper == l.Paper {
			days = max(days, s.CoverDays)
		}
	}
	span := max(1, last.Sub(p.Now).Hours()/24)
	keep := quantity.FromMetres(l.Reserved.Metres() / span * days)
	left := l.Points[len(l.Points)-1].Stock + l.Short
	if left >= keep {
		return 0, time.Time{}
	}
	from := p.Now
	for i := len(l.Points) - 1; i >= 0 && l.Points[i].Stock+l.Short < keep; i-- {
		from = l.Points[i].At
	}
	return keep - left, from
}

// keep is the row of a level of which nothing is missing. It cannot come too
// late: where the latest hour has passed, the next at which a call counts is meant.
func (p Problem) keep(l Level, lack quantity.Distance, thin time.Time) Call {
	l.ShortAt = thin
	c := p.call(l, lack)
	for _, s := range p.Supplies {
		if s.Paper == l.Paper && s.Supplier == c.Supplier && c.By.Before(p.Now) {
			c.By = p.soonest(s)
			c.Arrives = c.By.Add(s.Lead.Duration())
		}
	}
	c.TooLate = false
	return c
}

// soonest is the first moment, from now on, at which a call to a supplier counts as made.
func (p Problem) soonest(s plant.Supply) time.Time {
	at := p.Now
	for day := range 15 {
		at = p.Now.AddDate(0, 0, day)
		if hour, stated := callHour(s, at.In(p.zone())); stated {
			at = hour
		}
		if !at.Before(p.Now) && (p.Closed == nil || !p.Closed(at)) {
			break
		}
	}
	return at
}
