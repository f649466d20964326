package plant

import (
	"errors"
	"net/http"

	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/web/frame"
)

type startPage struct {
	frame.Base
	Template plant.Book
}

// StartForm is the first page of an empty book.
func (p Pages) StartForm(w http.ResponseWriter, r *http.Request) error {
	return p.start(w, r, http.StatusOK, nil)
}

func (p Pages) start(w http.ResponseWriter, r *http.Request, status int, amiss []frame.Amiss) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	if snap.Stated {
		http.Redirect(w, r, "/plant", http.StatusSeeOther)
		return nil
	}
	pg := startPage{Base: p.Base(w, r, snap, "Plant", "First set-up"), Template: p.Template()}
	pg.Amiss = amiss
	return p.Render(w, status, pages["start.html"], pg)
}

// Start states the plant: from the template with or without its book, or from a file.
func (p Pages) Start(w http.ResponseWriter, r *http.Request) error {
	b, err := p.chosen(r)
	if err == nil {
		err = p.Desk.SetUp(r.Context(), b, frame.Who(r))
	}
	if err == nil {
		words := "The plant stands. Next: papers and grades, customers and items, rolls, orders, and what is on the floor."
		if len(b.Lines) > 0 {
			words = "The invented plant stands with its orders. Make the first plan."
		}
		to := "/plant"
		if len(b.Lines) > 0 {
			to = "/"
		}
		return frame.Done(w, r, to, words)
	}
	vs, other := frame.Violations(err)
	if other != nil {
		return other
	}
	var amiss []frame.Amiss
	for _, v := range vs {
		amiss = append(amiss, frame.Amiss{Words: v.String()})
	}
	return p.start(w, r, http.StatusUnprocessableEntity, amiss)
}

func (p Pages) chosen(r *http.Request) (plant.Book, error) {
	if err := r.ParseMultipartForm(4 << 20); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return plant.Book{}, err
	}
	b := p.Template()
	switch r.FormValue("from") {
	case "demo":
		return b, nil
	case "template":
		name := frame.Values{R: r}
		if s := name.Text("name"); s != "" {
			b.Plant.Name = s
		}
		return plant.Book{Plant: b.Plant}, nil
	}
	name, body, err := frame.Sent(r)
	if err != nil {
		return plant.Book{}, err
	}
	pl, err := p.Read(name, body)
	return plant.Book{Plant: pl}, err
}
