package desk

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
)

// UnitNumbers are the serials of a release's units, one after the other.
type UnitNumbers struct {
	First  int64       `json:"first"`
	Units  int         `json:"units"`
	Before []UnitRange `json:"before,omitempty"` // given out earlier, for fewer units: their tags may still be on units
	Copy   bool        `json:"-"`                // they were given out before
}

// UnitRange is serials one after the other.
type UnitRange struct {
	First int64 `json:"first"`
	Units int   `json:"units"`
}

// holds returns the place of a serial among the units, from 1; 0 if it is none of theirs.
func (n UnitNumbers) holds(serial int64) int {
	for _, r := range append([]UnitRange{{n.First, n.Units}}, n.Before...) {
		if serial >= r.First && serial < r.First+int64(r.Units) {
			return int(serial-r.First) + 1
		}
	}
	return 0
}

// numbersNext is the key of the counter. No release has an empty order number.
const numbersNext = "/next"

// NumberUnits gives a release's units their serials, once and for good: no two
// units of the plant ever get the same, whatever plan they come from. Asked
// again for as many units or fewer it returns the same serials as a copy; for
// more units it gives a new range, since the units are others. Serials go on
// from the plant's Tags.Next. fault.NotFound for a release that is not in the book.
func (d *Desk) NumberUnits(ctx context.Context, release ident.Release, units int, who string) (UnitNumbers, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return UnitNumbers{}, err
	}
	if _, known := s.Line(release); !known {
		return UnitNumbers{}, fmt.Errorf("release %s: %w", release, fault.NotFound)
	}
	if units < 1 || units > 100_000 {
		return UnitNumbers{}, fault.Violations{{Field: "units", Value: fmt.Sprint(units), Rule: "must be from 1 to 100,000"}}
	}
	for try := 0; ; try++ {
		n, err := d.numberOnce(ctx, release, units, max(1, s.Plant.Tags.Next), who)
		if errors.Is(err, fault.Conflict) && try < 20 { // another desk took numbers between our look and our change
			continue
		}
		return n, err
	}
}

func (d *Desk) numberOnce(ctx context.Context, release ident.Release, units int, least int64, who string) (UnitNumbers, error) {
	var given UnitNumbers
	version, err := d.numbers(ctx, release.String(), &given)
	if err != nil {
		return UnitNumbers{}, err
	}
	if given.Units >= units {
		given.Copy = true
		return given, nil
	}
	var counter UnitNumbers
	counted, err := d.numbers(ctx, numbersNext, &counter)
	if err != nil {
		return UnitNumbers{}, err
	}
	before := given.Before
	if given.Units > 0 {
		before = append(before, UnitRange{given.First, given.Units})
	}
	given = UnitNumbers{First: max(counter.First, least), Units: units, Before: before}
	counter.First = given.First + int64(units)
	c := Change{At: d.Now(), Who: who, Why: "units numbered"}
	puts := putter{change: &c}
	puts.add(KindNumbers, release.String(), given, version)
	puts.add(KindNumbers, numbersNext, counter, counted)
	if puts.err != nil {
		return UnitNumbers{}, puts.err
	}
	if _, err := d.Deps.Store.Apply(ctx, c); err != nil {
		return UnitNumbers{}, err
	}
	return given, nil
}

// numbers reads an entry of given numbers; version 0 where there is none.
func (d *Desk) numbers(ctx context.Context, key string, into *UnitNumbers) (version int, err error) {
	e, err := d.Deps.Store.Entry(ctx, KindNumbers, key)
	if errors.Is(err, fault.NotFound) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	if err := json.Unmarshal(e.Body, into); err != nil {
		return 0, fmt.Errorf("unit numbers of %s: %w", key, err)
	}
	return e.Version, nil
}
