package web

import (
	"github.com/flutewright/flutewright/web/crew"
	"github.com/flutewright/flutewright/web/fault"
	"github.com/flutewright/flutewright/web/frame"
	"github.com/flutewright/flutewright/web/handover"
	"github.com/flutewright/flutewright/web/today"
)

// crews are the addresses of those who stand at the machines, and of who hands over to them.
func (s *server) crews(on func(pattern string, h frame.Handler)) {
	on("GET /rolls/cover", today.Pages{Frame: s.frame}.Cover)
	c := crew.Pages{Frame: s.frame}
	on("GET /crew", c.Choose)
	on("POST /crew", c.Sign)
	on("GET /crew/{at}", c.Screen)
	on("POST /crew/{at}", c.Take)
	on("GET /crew/{at}/tell", c.Tell)
	f := fault.Pages{Frame: s.frame}
	on("GET /fault", f.Show)
	on("POST /fault", f.Hold)
	h := handover.Pages{Frame: s.frame}
	on("GET /handover", h.Show)
	on("GET /print/handover.pdf", h.Print)
}
