package runs

import (
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// Bar is the limit that keeps a run's lanes off a web.
type Bar string

// Bars.
const (
	TooNarrow Bar = "too narrow" // the lanes and the least trim of both sides are wider
	TooWide   Bar = "too wide"   // more trim is left than the most of both sides
)

// OtherWeb is how a run's lanes would lie on another web.
type OtherWeb struct {
	Web  quantity.Length
	Trim quantity.Length // both sides together; negative: so much is missing
	Pct  float64         // Trim of Web
	Cost quantity.Money  // more than on the run's web, for its length; negative: less
	Bar  Bar             // "": its trim is legal
}

// OtherWebs lays a run's lanes as they are and as long on each other web of the
// corrugator, in the order of its list. paper is the price of a square metre of
// the board's paper, credit what a square metre of its waste brings. A change of
// web, the paper that is in the house and what other orders would fill the trim
// are left out: a plan pinned to the web weighs them too.
func OtherWebs(r Run, limits corrugator.Limits, paper, credit quantity.Money) []OtherWeb {
	used := quantity.Length(0)
	for _, l := range r.Lanes {
		used += quantity.Length(l.Outs) * l.Slit
	}
	var out []OtherWeb
	for _, web := range limits.Webs {
		if web == r.Web {
			continue
		}
		v := OtherWeb{Web: web, Trim: web - used, Pct: 100 * float64(web-used) / float64(web)}
		v.Cost = quantity.Money((web-r.Web).Metres()*r.Length.Metres()) * (paper - credit)
		switch {
		case v.Trim < 2*limits.SideTrimMin:
			v.Bar = TooNarrow
		case limits.SideTrimMax != nil && v.Trim > 2**limits.SideTrimMax:
			v.Bar = TooWide
		}
		out = append(out, v)
	}
	return out
}
