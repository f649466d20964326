// Package boxes shows the items: what a box is, how its blank lies, and what it bears.
package boxes

import (
	"embed"
	"net/http"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "list.html", "item.html")

// Pages of boxes.
type Pages struct{ *frame.Frame }

type listPage struct {
	frame.Base
	Sift     []frame.Field
	Rows     []order.Item
	Houses   map[ident.Customer]string
	Pages    frame.Pager
	Approved int
}

const itemsAPage = 100

// List finds an item.
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Boxes", "Boxes"), Houses: map[ident.Customer]string{}}
	pg.Acts = []frame.Link{{Words: "Import items", To: "/plant/import?kind=items"}}
	for _, c := range snap.Customers {
		pg.Houses[c.Code] = c.Name
	}
	text, grade := strings.TrimSpace(r.FormValue("q")), r.FormValue("grade")
	grades := []frame.Option{{Value: "", Words: "all"}}
	for _, g := range snap.Plant.Grades {
		grades = append(grades, frame.Option{Value: string(g.Code), Words: string(g.Code)})
	}
	pg.Sift = []frame.Field{
		{Name: "q", Label: "Item, customer, style or words", Kind: "search", Value: text},
		{Name: "grade", Label: "Grade", Kind: "select", Value: grade, Options: grades},
	}
	lower := strings.ToLower(text)
	var found []order.Item
	for _, i := range snap.Items {
		if (grade == "" || string(i.Grade) == grade) && (lower == "" || says(i, pg.Houses[i.Customer], lower)) {
			found = append(found, i)
			if i.Sheet != nil {
				pg.Approved++
			}
		}
	}
	pg.Rows, pg.Pages = frame.Cut(r, found, itemsAPage)
	return p.Render(w, http.StatusOK, pages["list.html"], pg)
}

func says(i order.Item, house, text string) bool {
	for _, s := range []string{string(i.Code), i.Description, house, string(i.Style), string(i.Plate), string(i.Die)} {
		if strings.Contains(strings.ToLower(s), text) {
			return true
		}
	}
	return false
}
