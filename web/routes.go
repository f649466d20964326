package web

import (
	"net/http"

	"github.com/flutewright/flutewright/web/api"
	"github.com/flutewright/flutewright/web/board"
	"github.com/flutewright/flutewright/web/boxes"
	"github.com/flutewright/flutewright/web/event"
	"github.com/flutewright/flutewright/web/floor"
	"github.com/flutewright/flutewright/web/frame"
	"github.com/flutewright/flutewright/web/jobs"
	"github.com/flutewright/flutewright/web/ledger"
	"github.com/flutewright/flutewright/web/loads"
	"github.com/flutewright/flutewright/web/look"
	"github.com/flutewright/flutewright/web/orders"
	"github.com/flutewright/flutewright/web/plans"
	"github.com/flutewright/flutewright/web/plant"
	"github.com/flutewright/flutewright/web/prints"
	"github.com/flutewright/flutewright/web/promise"
	"github.com/flutewright/flutewright/web/rolls"
	"github.com/flutewright/flutewright/web/runs"
	"github.com/flutewright/flutewright/web/settings"
	"github.com/flutewright/flutewright/web/today"
	"github.com/flutewright/flutewright/web/trucks"
	"github.com/flutewright/flutewright/web/webs"
)

// routes is the map of the desk: every address, in the order of the way
// through the plant. A page outside the first set-up needs a stated plant.
func (s *server) routes() *http.ServeMux {
	mux := http.NewServeMux()
	on := func(pattern string, h frame.Handler) { mux.Handle(pattern, s.frame.Page(s.stated(h))) }
	before := func(pattern string, h frame.Handler) { mux.Handle(pattern, s.frame.Page(h)) }

	on("GET /{$}", today.Pages{Frame: s.frame}.Today)
	ev := event.Pages{Frame: s.frame}
	on("GET /event", ev.Form)
	on("POST /event", ev.Ask)
	on("GET /event/{id}", ev.Answers)
	on("POST /event/{id}/take", ev.Take)

	o := orders.Pages{Frame: s.frame}
	on("GET /orders", o.List)
	on("GET /orders/import", o.ImportForm)
	on("POST /orders/import", o.Import)
	on("GET /orders/import/{id}", o.Review)
	on("POST /orders/import/{id}", o.Confirm)
	on("POST /orders/import/{id}/again", o.Again)
	on("GET /orders/goods", o.Goods)
	on("GET /orders/customers", o.Customers)
	on("GET /orders/customers/{customer}", o.Customer)
	on("POST /orders/customers/{customer}", o.SaveCustomer)
	on("GET /promise", promise.Pages{Frame: s.frame}.Ask)
	on("GET /orders/{order}/{line}/{release}", o.Show)
	on("POST /orders/{order}/{line}/{release}", o.Save)
	on("POST /orders/{order}/{line}/{release}/decide", o.Decide)
	on("POST /orders/{order}/{line}/{release}/deliver", o.Deliver)
	on("POST /orders/{order}/{line}/{release}/allot", o.Allot)

	b := boxes.Pages{Frame: s.frame}
	on("GET /boxes", b.List)
	on("GET /boxes/{item}", b.Item)
	on("POST /boxes/{item}", b.Approve)
	on("POST /boxes/{item}/stock", b.Stock)
	on("POST /boxes/{item}/found", b.Found)
	on("POST /boxes/{item}/remove", b.Remove)
	on("GET /board", board.Pages{Frame: s.frame}.Board)
	wb := webs.Pages{Frame: s.frame}
	on("GET /webs", wb.Form)
	on("POST /webs", wb.Start)
	on("GET /webs/{id}", wb.Show)
	on("GET /webs/{id}/events", wb.Events)
	on("POST /webs/{id}/end", wb.End)

	r := runs.Pages{Frame: s.frame}
	on("GET /runs", r.List)
	on("GET /runs/{seq}", r.Show)
	ro := rolls.Pages{Frame: s.frame}
	on("GET /rolls", ro.Need)
	on("GET /rolls/calls.csv", ro.Calls)
	on("GET /rolls/calls.pdf", ro.CallsSheet)
	on("GET /rolls/call/{truck}", ro.CallForm)
	on("POST /rolls/call/{truck}", ro.Call)
	on("GET /rolls/expected/{inbound}", ro.ExpectedForm)
	on("POST /rolls/expected/{inbound}", ro.Expected)
	on("GET /rolls/receive/{inbound}", ro.ReceiveForm)
	on("POST /rolls/receive/{inbound}", ro.Receive)
	on("GET /rolls/house", ro.House)
	on("POST /rolls/house/{roll}", ro.Hold)

	j := jobs.Pages{Frame: s.frame}
	on("GET /jobs", j.List)
	on("GET /jobs/report", j.Report)
	l := loads.Pages{Frame: s.frame}
	on("GET /loads", l.List)
	on("GET /loads/{order}/{line}/{release}", l.Show)
	t := trucks.Pages{Frame: s.frame}
	on("GET /trucks", t.List)
	on("GET /trucks/{plan}/{truck}", t.Show)
	on("POST /trucks/{plan}/{truck}", t.Load)

	p := plans.Pages{Frame: s.frame}
	on("GET /plans", p.List)
	on("POST /plans", p.Start)
	on("POST /plans/{id}/hand", p.Hand)
	on("GET /plans/compare", p.Compare)
	on("GET /plans/{id}", p.Show)
	on("GET /plans/{id}/events", p.Events)
	on("GET /plans/{id}/why", p.Why)
	on("POST /plans/{id}/why", p.AskWhy)
	on("POST /plans/{id}/cancel", p.Cancel)
	on("POST /plans/{id}/restart", p.Restart)
	on("POST /plans/{id}/force", p.Force)

	sf := floor.Pages{Frame: s.frame}
	on("GET /floor/lanes", sf.Lanes)
	on("GET /floor/counts", sf.Counts)
	on("GET /floor/counts/{order}/{line}/{release}", sf.Count)
	on("POST /floor/counts/{order}/{line}/{release}", sf.Decide)
	on("GET /waste", sf.Waste)
	on("POST /waste", sf.BookWaste)
	on("GET /waste.csv", sf.WasteTable)

	f := ledger.Pages{Frame: s.frame}
	on("POST /facts/run", f.Run)
	on("POST /facts/job", f.Job)
	on("POST /facts/correct", f.Correct)
	on("GET /floor", f.Floor)
	on("POST /floor", f.Found)

	s.crews(on)

	pl := plant.Pages{Frame: s.frame, Template: s.Template, Read: s.ReadPlant}
	before("GET /start", pl.StartForm)
	before("POST /start", pl.Start)
	on("GET /plant", pl.Plant)
	on("POST /plant/display", pl.Display)
	se := settings.Pages{Frame: s.frame}
	on("GET /plant/settings", se.Index)
	on("GET /plant/settings/{part}", se.Show)
	on("POST /plant/settings/{part}", se.Save)
	on("GET /plant/machines/{machine}", se.Show)
	on("POST /plant/machines/{machine}", se.Save)
	on("GET /plant/import", pl.ImportForm)
	on("POST /plant/import", pl.Import)
	before("POST /who", s.who)

	pr := prints.Pages{Frame: s.frame}
	on("GET /print/runs.pdf", pr.Runs)
	on("GET /print/setups.pdf", pr.SetUps)
	on("GET /print/setup/{seq}", pr.SetUp)
	on("GET /print/stacks/{seq}", pr.Stacks)
	on("GET /print/jobs.pdf", pr.Jobs)
	on("GET /print/ticket.pdf", pr.Ticket)
	on("GET /print/tags.pdf", pr.Tags)
	on("GET /plant/copy.gz", pr.Copy)

	before("GET "+api.Prefix, s.programs)
	mux.Handle("GET /look/", look.Handler())
	before("/", s.nowhere)
	return mux
}
