// Package plant shows the plant's own settings, takes its first set-up and
// imports the tables of the book.
package plant

import (
	"embed"
	"net/http"
	"strings"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "plant.html", "import.html", "result.html", "start.html")

// Pages of the plant.
type Pages struct {
	*frame.Frame
	Template func() plant.Book                                // a whole book to begin with
	Read     func(name string, b []byte) (plant.Plant, error) // reads PLANT.json
}

type page struct {
	frame.Base
	plant.Plant
	Version   int
	Fields    []frame.Field
	Customers int
	Items     int
	Lines     int
	Rolls     int
	History   []frame.Edit
	Forced    []desk.InForce
	Crewed    string
	Uneven    []calendar.Uneven // the next shifts in which the clocks change
}

// unevenAhead is how many days ahead the page tells of clocks that change.
const unevenAhead = 240

// Plant shows everything that is stated about the plant.
func (p Pages) Plant(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := page{
		Base: p.Base(w, r, snap, "Plant", snap.Plant.Name), Plant: snap.Plant, Version: snap.Version(desk.KindPlant, desk.PlantKey),
		Customers: len(snap.Customers), Items: len(snap.Items), Lines: len(snap.Lines), Rolls: len(snap.Rolls),
	}
	pg.Acts = []frame.Link{{Words: "Settings", To: "/plant/settings"}, {Words: "Import a table", To: "/plant/import"}, {Words: "On the floor", To: "/floor"}, {Words: "For programs", To: "/api"}}
	pg.Fields = displayFields(snap.Plant.Display)
	pg.Crewed = strings.Join(snap.Plant.Corrugator.Shifts, ", ")
	if clock, err := calendar.Compile(snap.Plant.Calendar); err == nil { // one that does not compile is refused where it is typed
		pg.Uneven = clock.Uneven(p.Desk.Now(), p.Desk.Now().AddDate(0, 0, unevenAhead))
	}
	edits, err := p.Desk.History(r.Context(), desk.KindPlant, desk.PlantKey)
	if err != nil {
		return err
	}
	pg.History = frame.Edits(edits)
	if pg.Forced, err = p.Desk.ForceHistory(r.Context(), ""); err != nil {
		return err
	}
	pg.Forced = pg.Forced[:min(len(pg.Forced), 30)]
	return p.Render(w, http.StatusOK, pages["plant.html"], pg)
}

func displayFields(d plant.Display) []frame.Field {
	return []frame.Field{
		{Name: "units", Label: "Units", Kind: "select", Value: d.Units, Options: []frame.Option{{Value: "metric", Words: "metric"}, {Value: "us", Words: "US customary"}}},
		{Name: "inch_parts", Label: "Inch step", Kind: "select", Value: plural(d.InchParts), Options: []frame.Option{{Value: "16", Words: "1/16"}, {Value: "32", Words: "1/32"}, {Value: "64", Words: "1/64"}}},
		{Name: "currency", Label: "Currency", Value: d.Currency},
		{Name: "page", Label: "Paper for print", Kind: "select", Value: d.Page, Options: frame.Choices("A4", "Letter")},
		{Name: "dates", Label: "Dates", Kind: "select", Value: or(d.Dates, "ymd"), Options: []frame.Option{{Value: "ymd", Words: "2031-03-04"}, {Value: "dmy", Words: "04.03.2031"}, {Value: "mdy", Words: "03/04/2031"}}},
	}
}

func plural(parts int) string {
	switch parts {
	case 32:
		return "32"
	case 64:
		return "64"
	}
	return "16"
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// Display changes how values are shown; no stored value changes with it.
func (p Pages) Display(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	pl := snap.Plant
	version := v.Count("version", 1, 0)
	pl.Display = plant.Display{Units: v.Text("units"), InchParts: v.Count("inch_parts", 16, 16), Currency: v.Text("currency"), Page: v.Text("page"), Dates: v.Text("dates")}
	if err := v.Err(); err != nil {
		return err
	}
	if err := p.Desk.SavePlant(r.Context(), pl, version, frame.Who(r), "display"); err != nil {
		return err
	}
	return frame.Done(w, r, "/plant", "Every page and sheet follows. Nothing that is stored has changed.")
}
