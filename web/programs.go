package web

import (
	"embed"
	"net/http"

	"github.com/flutewright/flutewright/web/api"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed programs.html
var files embed.FS

var pages = frame.Parse(files, "programs.html")

type programsPage struct {
	frame.Base
	Operations []api.Operation
}

// programs tells what the interface for programs offers.
func (s *server) programs(w http.ResponseWriter, r *http.Request) error {
	snap, err := s.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := programsPage{Base: s.frame.Base(w, r, snap, "Plant", "For programs"), Operations: s.operations}
	pg.Trail = []frame.Link{{Words: "Plant", To: "/plant"}}
	return s.frame.Render(w, http.StatusOK, pages["programs.html"], pg)
}
