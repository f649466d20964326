package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// Size says how large a generated book is. The proportions are those of a real
// plant (common practice, no published source): median 2,000 boxes a line, a
// quarter die cut, 5 % overdue, ten grades, four lines in five repeat an item.
type Size struct {
	Lines int
	Items int // at least Lines×4/5 are made whatever is said
	Rolls int // paper in the house, spread over papers and widths
	Seed  uint64
}

// Generated returns a made-up book on the demo's plant. The same Size gives the same book.
func Generated(s Size) plant.Book {
	b := Book()
	g := generator{r: rand.New(rand.NewPCG(s.Seed, 2031)), b: &b}
	b.Items, b.Lines, b.Inbound = nil, nil, nil
	for i := range max(s.Items, (s.Lines*4+4)/5) {
		b.Items = append(b.Items, g.item(i))
	}
	for i := range s.Lines {
		b.Lines = append(b.Lines, g.line(i))
	}
	g.paper(s.Rolls)
	return b
}

type generator struct {
	r *rand.Rand
	b *plant.Book
}

func (g *generator) between(lo, hi float64) float64 { return lo + (hi-lo)*g.r.Float64() }

func whole(mm float64) quantity.Length {
	return quantity.Length(math.Round(mm)) * quantity.Millimetre
}

// item makes a slotted box three times out of four, else a die-cut piece with its approved sheet.
func (g *generator) item(n int) order.Item {
	grades := g.b.Plant.Grades[:len(g.b.Plant.Grades)-1]
	gr := grades[g.r.IntN(len(grades))]
	it := order.Item{
		Code: ident.Item(fmt.Sprintf("G-%05d", n+1)), Revision: 1, Grade: gr.Code, PiecesPerSheet: 1,
		Customer: g.b.Customers[g.r.IntN(len(g.b.Customers))].Code, Colours: g.r.IntN(3), PrintSide: "outside",
		BoxesPerBundle: 20, UpgradeAllowed: g.r.IntN(4) == 0,
	}
	if gr.Flute == "E" || g.r.IntN(4) == 0 {
		return g.dieCut(it, gr)
	}
	length := g.between(210, 480)
	width := length * g.between(.6, 1)
	it.Style = []box.Style{"0201", "0201", "0201", "0201", "0200", "0203"}[g.r.IntN(6)]
	it.Joint = "glued"
	it.Inside = box.Inside{Length: whole(length), Width: whole(width), Height: whole(g.between(120, 380))}
	if gr.Walls() > 1 { // double wall is for the larger boxes
		it.Inside = box.Inside{Length: whole(length + 200), Width: whole(width + 150), Height: whole(g.between(220, 500))}
		it.BoxesPerBundle = 10
	}
	it.Description = fmt.Sprintf("Case %v × %v × %v", it.Inside.Length.Millimetres(), it.Inside.Width.Millimetres(), it.Inside.Height.Millimetres())
	return it
}

func (g *generator) dieCut(it order.Item, gr board.Grade) order.Item {
	it.Style, it.Joint = "0427", "none"
	across, feed := g.between(720, 1600), g.between(520, 1200)
	it.PiecesPerSheet = 1 + g.r.IntN(4)
	it.Sheet = &box.Sheet{Chop: whole(across), Slit: whole(feed)}
	it.Inside = box.Inside{Length: whole(across / 4), Width: whole(feed / 4), Height: whole(60)}
	it.BundleSize = &box.FoldedFlat{Length: whole(across / 2), Width: whole(feed / 2)}
	it.Die = ident.Die("D-" + string(it.Code))
	it.Route = []ident.Machine{"RDC-1"}
	if (gr.Flute == "E" || gr.Flute == "B") && g.r.IntN(2) == 0 {
		it.Route = []ident.Machine{"RDC-2"}
	}
	it.Description = "Die-cut mailer " + string(it.Code)
	return it
}

func (g *generator) line(n int) order.Line {
	it := g.b.Items[g.r.IntN(len(g.b.Items))]
	c := g.b.Customers[g.r.IntN(len(g.b.Customers))]
	for i := range g.b.Customers {
		if g.b.Customers[i].Code == it.Customer {
			c = g.b.Customers[i]
		}
	}
	due := Now.AddDate(0, 0, 1+g.r.IntN(12)).Add(time.Duration(g.r.IntN(14)) * time.Hour)
	if g.r.IntN(20) == 0 {
		due = Now.Add(-time.Duration(1+g.r.IntN(72)) * time.Hour)
	}
	return order.Line{
		Key: ident.NewRelease(fmt.Sprintf("%07d", 4100000+n), "", ""), Customer: c.Code, Item: it.Code,
		Quantity: max(100, int(2000*math.Exp(g.r.NormFloat64()))/10*10), UnderPct: c.UnderPct, OverPct: max(c.OverPct, 3),
		Due: due, DueAt: order.AtDock, PricePer1000: quantity.Money(math.Round(g.between(250, 900))), Priority: 2, State: order.Open,
	}
}

// paper fills the house with n full rolls, in turn over every paper and stocked width.
func (g *generator) paper(n int) {
	g.b.Rolls = nil
	for i := 0; len(g.b.Rolls) < n; i++ {
		for _, p := range g.b.Plant.Papers {
			if len(g.b.Rolls) == n {
				return
			}
			w := p.Webs[i%len(p.Webs)]
			length := quantity.FromMetres(math.Round(g.between(4500, 6500)))
			g.b.Rolls = append(g.b.Rolls, roll.Roll{
				ID: ident.Roll(fmt.Sprintf("R%05d", len(g.b.Rolls)+1)), Paper: p.Code, Width: w, Length: length,
				Mass:     quantity.Mass(length.Metres() * w.Metres() * float64(p.Grammage)),
				Received: Now.AddDate(0, 0, -g.r.IntN(60)), Location: fmt.Sprintf("%c%d", 'A'+g.r.IntN(6), 1+g.r.IntN(9)),
			})
		}
	}
}
