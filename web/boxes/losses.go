package boxes

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
)

// loss is what one step of the item's way wastes.
type loss struct {
	Step       int
	Machine    ident.Machine
	SetUp      int // sheets
	RunningPct float64
}

// losses lists the steps of the agreed route, else of the way that the plan found.
func (pg *itemPage) losses(snap *desk.Snapshot) {
	route := pg.Route
	if len(route) == 0 && len(pg.Way) > 0 {
		route = pg.Way[0].Route
	}
	for n, code := range route {
		m, ok := snap.Machine(code)
		if !ok {
			continue
		}
		l := loss{Step: n + 1, Machine: code, SetUp: m.Loss.SetUpSheets, RunningPct: m.Loss.RunningPct}
		if n == 0 {
			l.SetUp += m.Loss.PerColourSheets * pg.Colours
		}
		pg.Losses = append(pg.Losses, l)
	}
}
