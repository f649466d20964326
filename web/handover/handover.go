// Package handover shows what one shift hands to the next, as a page and as a sheet.
package handover

import (
	"bytes"
	"embed"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/sheet"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "handover.html")

// Pages of the handover.
type Pages struct{ *frame.Frame }

type page struct {
	frame.Base
	sheet.Handover
	Before string // address of the shift before
}

// Show answers: what do I hand over, and what do I take over?
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	h, err := p.handover(r)
	if err != nil {
		return err
	}
	pg := page{Base: p.Base(w, r, snap, "Today", "Handover"), Handover: h}
	at := "?at=" + frame.Escape(h.From.Format(time.RFC3339))
	pg.Acts = []frame.Link{{Words: "Handover (PDF)", To: "/print/handover.pdf" + at}}
	pg.Trail = []frame.Link{{Words: "Today", To: "/"}}
	pg.Before = "/handover?at=" + frame.Escape(h.From.Add(-time.Second).Format(time.RFC3339))
	if before, err := p.Desk.Handover(r.Context(), h.From.Add(-time.Second)); err != nil || before.From.Equal(h.From) {
		pg.Before = "" // no shift was on just before
	}
	return p.Render(w, http.StatusOK, pages["handover.html"], pg)
}

// Print hands out the same on one sheet.
func (p Pages) Print(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	h, err := p.handover(r)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := sheet.HandoverSheet(&b, snap.Book, h); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="handover.pdf"`)
	_, err = b.WriteTo(w)
	return frame.Gone(err)
}

// handover is that of the shift the request names by ?at=, else of the latest.
func (p Pages) handover(r *http.Request) (sheet.Handover, error) {
	at := time.Time{}
	if s := r.FormValue("at"); s != "" {
		var err error
		if at, err = time.Parse(time.RFC3339, s); err != nil {
			return sheet.Handover{}, fault.NotFound
		}
	}
	return p.Desk.Handover(r.Context(), at)
}
