package rolls

import (
	"cmp"
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/roll"
)

// arriving is a delivery of the truck with the rows of its rolls.
type arriving struct {
	roll.Inbound
	Paper board.Paper
	Each  quantity.Mass // of a roll, as called off
	Rows  []arrival
	Whole bool // nothing more comes of it
}

// arrival is one roll as it is typed. K numbers the rows of the whole truck.
type arrival struct {
	K                                          int
	Roll, Mass, Diameter, Moisture, Place, Why string
	Odd                                        []string
}

// truck returns the deliveries that are still to come with one, itself first:
// those of the same supplier at the same hour.
func truck(snap *desk.Snapshot, in roll.Inbound) []roll.Inbound {
	own := []roll.Inbound{in}
	own[0].Rolls = 0 // all have come, unless it is still on its way
	var others []roll.Inbound
	for _, o := range snap.Inbound {
		switch {
		case o.ID == in.ID:
			own[0] = o
		case in.Supplier != "" && o.Supplier == in.Supplier && o.ETA.Equal(in.ETA):
			others = append(others, o)
		}
	}
	return append(own, others...)
}

// rows lays out a row for each roll still to come, numbered from the first number
// on, with the measures that are the same for all; or the rows of a posted form.
func (pg *receivePage) rows(r *http.Request, snap *desk.Snapshot, in roll.Inbound) {
	if r.Method == http.MethodPost {
		pg.posted(r, snap, in)
		return
	}
	number := strings.TrimSpace(r.FormValue("first"))
	more, err := strconv.Atoi(r.FormValue("more"))
	if err != nil || more < 0 {
		more = 0 // a page that is only laid out: nothing is lost by it
	}
	for _, d := range truck(snap, in) {
		v := arrivingOf(snap, d)
		for range min(d.Rolls+more, mostRows-pg.Rolls) {
			v.Rows = append(v.Rows, arrival{
				K: pg.Rolls, Roll: number, Mass: r.FormValue("mass"), Diameter: r.FormValue("diameter"), Moisture: r.FormValue("moisture"), Place: r.FormValue("place"),
			})
			number = after(number)
			pg.Rolls++
		}
		more = 0 // beyond what was called off: of the first delivery
		pg.Deliveries = append(pg.Deliveries, v)
	}
}

func arrivingOf(snap *desk.Snapshot, d roll.Inbound) arriving {
	v := arriving{Inbound: d}
	v.Paper, _ = snap.Paper(d.Paper)
	v.Each = roll.MassOf(d.LengthEach, d.Width, v.Paper.Grammage)
	return v
}

// posted takes the rows as they were typed, also of a delivery that is complete by
// now: a form sent twice is no fault.
func (pg *receivePage) posted(r *http.Request, snap *desk.Snapshot, in roll.Inbound) {
	at := map[string]int{}
	for k := range mostRows {
		if r.PostFormValue("roll-"+strconv.Itoa(k))+r.PostFormValue("of-"+strconv.Itoa(k)) == "" {
			continue
		}
		d, known := snap.InboundOf(r.PostFormValue("of-" + strconv.Itoa(k)))
		if !known {
			d = in
		}
		n, there := at[d.ID]
		if !there {
			n = len(pg.Deliveries)
			at[d.ID] = n
			pg.Deliveries = append(pg.Deliveries, arrivingOf(snap, d))
			pg.Deliveries[n].Whole = r.PostFormValue("whole-"+d.ID) != ""
		}
		pg.Deliveries[n].Rows = append(pg.Deliveries[n].Rows, typedRow(r, k))
		pg.Rolls = k + 1
	}
}

// mostRows is how many rolls stand on one page; a truck brings fewer.
const mostRows = 60

func typedRow(r *http.Request, k int) arrival {
	cell := func(name string) string { return strings.TrimSpace(r.PostFormValue(name + "-" + strconv.Itoa(k))) }
	return arrival{K: k, Roll: cell("roll"), Mass: cell("mass"), Diameter: cell("diameter"), Moisture: cell("moisture"), Place: cell("place"), Why: cell("hold")}
}

var lastDigits = regexp.MustCompile(`\d+$`)

// after is the roll number after one: N099 leads to N100. A number that ends in no
// digits leads to none.
func after(number string) string {
	tail := lastDigits.FindString(number)
	n, err := strconv.ParseUint(tail, 10, 60)
	if err != nil {
		return ""
	}
	return strings.TrimSuffix(number, tail) + fmt.Sprintf("%0*d", len(tail), n+1)
}

// receipt reads the rows of the form; what a row without a number says was filled in
// for all, and its roll did not come. index leads from a roll of the receipt to its row.
func (pg *receivePage) receipt() (out desk.Receipt, index []int, vs fault.Violations) {
	for _, d := range pg.Deliveries {
		if d.Whole {
			out.Whole = append(out.Whole, d.ID)
		}
		for _, row := range d.Rows {
			if row.Roll == "" {
				continue
			}
			a, more := pg.read(row)
			a.Delivery = d.ID
			vs = append(vs, more...)
			out.Rolls, index = append(out.Rolls, a), append(index, row.K)
		}
	}
	vs.Require(len(out.Rolls)+len(out.Whole) > 0, "rolls", "", "must name a roll, or say that nothing comes")
	return out, index, vs
}

func (pg *receivePage) read(row arrival) (a desk.Arrival, vs fault.Violations) {
	a = desk.Arrival{Roll: ident.Roll(row.Roll), Place: row.Place, Hold: row.Why}
	at := "-" + strconv.Itoa(row.K)
	if m, err := pg.F.ParseMass(row.Mass); row.Mass != "" {
		vs.Require(err == nil && m > 0, "mass"+at, row.Mass, fmt.Sprintf("row %d: the mass cannot be read", row.K+1))
		a.Mass = m
	}
	if l, err := pg.F.ParseLength(row.Diameter); row.Diameter != "" {
		vs.Require(err == nil && l > 0, "diameter"+at, row.Diameter, fmt.Sprintf("row %d: the diameter cannot be read", row.K+1))
		a.Diameter = l
	}
	if n, err := quantity.ParseNumber(row.Moisture); row.Moisture != "" {
		vs.Require(err == nil && n > 0 && n < 100, "moisture"+at, row.Moisture, fmt.Sprintf("row %d: the moisture cannot be read", row.K+1))
		a.Moisture = n
	}
	return a, vs
}

// doubtful puts what does not agree beside its rows, with the hold that follows
// unless a person takes the roll as it is. It reports whether one was not seen yet.
func (pg *receivePage) doubtful(odd []desk.OddRoll, index []int, seen bool) bool {
	for _, o := range odd {
		for d := range pg.Deliveries {
			for n := range pg.Deliveries[d].Rows {
				row := &pg.Deliveries[d].Rows[n]
				if row.K != index[o.Row] {
					continue
				}
				for _, why := range o.Why {
					row.Odd = append(row.Odd, pg.F.Say(why))
				}
				if !seen {
					row.Why = cmp.Or(row.Why, strings.Join(row.Odd, "; "))
				}
			}
		}
	}
	pg.Doubt = len(odd)
	return len(odd) > 0 && !seen
}
