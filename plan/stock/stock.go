// Package stock says whose the made goods are: which boxes of an item lie free
// in the house, which open release they go to, what a blanket order has left,
// what a stock that ran low must be filled up with, and how many whole kits can
// go. All of it is computed from the book and the counts of its releases.
package stock

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// Standing is who has which made goods.
type Standing struct {
	Lines    map[ident.Release]Line `json:"lines"`
	Items    map[ident.Item]Item    `json:"items"`    // those with free goods, goods promised, or a stock to keep
	Blankets []BlanketLeft          `json:"blankets"` // by key
	Kits     []Kit                  `json:"kits"`     // by key of the item that names the parts
	Raised   []order.Line           `json:"raised"`   // stock orders that are wanted and not in the book
	Allots   []Allot                `json:"allots"`   // free goods as they go by due time
}

// Line is what one line of the book has and lacks, in boxes.
type Line struct {
	Have      int `json:"have"` // made for it, or taken from others, less given away; shipped ones with them
	Shipped   int `json:"shipped"`
	Free      int `json:"free"`       // of Have: belongs to no release
	FromStock int `json:"from_stock"` // free goods of other lines that go to it by due time
	Short     int `json:"to_make"`    // still to make: the quantity less all of these
}

// Item is the stock of one item, in boxes.
type Item struct {
	Free     int `json:"free"`        // in the house, of no release, before the allotments below
	Promised int `json:"promised"`    // of Free: goes to open releases by due time
	Coming   int `json:"coming"`      // still to be made by open stock orders
	Least    int `json:"stock_least"` // to be kept
	Most     int `json:"stock_most"`  // filled up to
}

// Left returns the boxes that stay free once every release has its own.
func (i Item) Left() int { return i.Free - i.Promised }

// Low reports whether the stock is below its least, with what stock orders bring.
func (i Item) Low() bool { return i.Least > 0 && i.Left()+i.Coming < i.Least }

// Allot is free goods that go to a release.
type Allot struct {
	Item  ident.Item    `json:"item"`
	From  ident.Release `json:"from"`
	To    ident.Release `json:"to"`
	Boxes int           `json:"boxes"`
}

// Of works out the standing of a book at a moment.
//
// Free are the boxes of stock orders, of closed lines whose rest went to stock,
// and of open lines beyond the most their customer takes; goods on hold are
// not. They go to the open releases of their item by due time, then by key.
// What was shipped beyond what a line has came out of the free goods. An item
// whose free goods, less those promised, and open stock orders together fall
// below its least raises a stock order up to its most, due at the gate after
// the item's days for filling up.
func Of(b plant.Book, now time.Time) Standing {
	s := Standing{Lines: make(map[ident.Release]Line, len(b.Lines)), Items: map[ident.Item]Item{}}
	by := make(map[ident.Item][]order.Line, len(b.Lines))
	for _, l := range b.Lines {
		if l.Kind != order.Blanket {
			by[l.Item] = append(by[l.Item], l)
			s.Lines[l.Key] = countsOf(l, b.Done[l.Key])
		}
	}
	for k := range b.Items {
		i := &b.Items[k]
		if lines := by[i.Code]; len(lines) > 0 || i.StockLeast > 0 {
			s.item(i, lines, now)
		}
	}
	for _, l := range b.Lines {
		if n := s.Lines[l.Key]; l.Kind != order.Blanket {
			n.Short = max(0, l.Quantity-max(n.Have, n.Shipped)-n.FromStock)
			s.Lines[l.Key] = n
		}
	}
	s.Blankets = blankets(b)
	s.Kits = kits(b, s.Lines)
	return s
}

func countsOf(l order.Line, q trace.Quantities) Line {
	made := q
	made.Shipped = 0 // what was shipped may be another line's goods
	n := Line{Have: max(0, made.Finished()+l.Net()), Shipped: q.Shipped}
	rest := max(0, n.Have-n.Shipped)
	switch {
	case l.State == order.OnHold:
	case l.Kind == order.ForStock, l.State == order.Closed && l.ToStock:
		n.Free = rest
	case l.State == order.Open:
		n.Free = min(rest, max(0, n.Have-l.Most()))
	}
	return n
}

// item shares out the free goods of one item and raises its stock order.
func (s *Standing) item(i *order.Item, lines []order.Line, now time.Time) {
	it := Item{Least: i.StockLeast, Most: max(i.StockMost, i.StockLeast)}
	slices.SortStableFunc(lines, func(a, b order.Line) int { return cmp.Or(a.Due.Compare(b.Due), ident.Compare(a.Key, b.Key)) })
	drawn := 0
	for _, l := range lines {
		n := s.Lines[l.Key]
		it.Free += n.Free
		drawn += max(0, n.Shipped-n.Have)
		if l.Kind == order.ForStock && l.State == order.Open {
			it.Coming += max(0, l.Quantity-n.Have)
		}
	}
	pool := s.pool(lines, drawn)
	it.Free = max(0, it.Free-drawn)
	for _, l := range lines {
		n := s.Lines[l.Key]
		if l.State != order.Open || l.Kind != order.Ordinary {
			continue
		}
		need := l.Quantity - max(n.Have, n.Shipped)
		for k := range pool {
			if take := min(need, pool[k].boxes); take > 0 && pool[k].key != l.Key {
				s.Allots = append(s.Allots, Allot{i.Code, pool[k].key, l.Key, take})
				pool[k].boxes -= take
				need -= take
				n.FromStock += take
			}
		}
		it.Promised += n.FromStock
		s.Lines[l.Key] = n
	}
	if it.Low() {
		s.Raised = append(s.Raised, raise(*i, it, now, lines))
	}
	if it != (Item{}) {
		s.Items[i.Code] = it
	}
}

// lot is free goods of one line.
type lot struct {
	key   ident.Release
	boxes int
}

// pool lists the free goods of an item, the earliest due line first, less what was drawn.
func (s *Standing) pool(lines []order.Line, drawn int) []lot {
	var out []lot
	for _, l := range lines {
		n := s.Lines[l.Key]
		gone := min(drawn, n.Free)
		drawn -= gone
		if n.Free > gone {
			out = append(out, lot{l.Key, n.Free - gone})
		}
	}
	return out
}
