package orders

import (
	"bytes"
	"fmt"
	"io"
	"net/http"

	"github.com/flutewright/flutewright/web/frame"
)

type importPage struct {
	frame.Base
	Pasted string
}

// ImportForm asks for an order file.
func (p Pages) ImportForm(w http.ResponseWriter, r *http.Request) error {
	return p.importForm(w, r, http.StatusOK, nil)
}

func (p Pages) importForm(w http.ResponseWriter, r *http.Request, status int, amiss []frame.Amiss) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := importPage{Base: p.Base(w, r, snap, "Orders", "Import orders")}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}}
	pg.Amiss = amiss
	if status != http.StatusOK {
		pg.Pasted = r.FormValue("pasted")
	}
	return p.Render(w, status, pages["import.html"], pg)
}

// Import reads the file and keeps what it found for review; the book stays as it is.
func (p Pages) Import(w http.ResponseWriter, r *http.Request) error {
	name, body, err := frame.Sent(r)
	if err == nil {
		var id int64
		if id, err = p.stage(r, name, bytes.NewReader(body)); err == nil {
			http.Redirect(w, r, fmt.Sprintf("/orders/import/%d", id), http.StatusSeeOther)
			return nil
		}
	}
	vs, err := frame.Violations(err)
	if err != nil {
		return err
	}
	var amiss []frame.Amiss
	for _, v := range vs {
		at := ""
		if v.Field == "file" {
			at = "file"
		}
		amiss = append(amiss, frame.Amiss{Words: v.String(), At: at})
	}
	return p.importForm(w, r, http.StatusUnprocessableEntity, amiss)
}

func (p Pages) stage(r *http.Request, name string, body io.Reader) (int64, error) {
	s, err := p.Desk.StageOrders(r.Context(), name, body, frame.Who(r))
	return s.ID, err
}
