// Package ident holds the names by which things are known on the floor. A
// later station names an earlier one's thing by its ident alone.
package ident

import (
	"cmp"
	"fmt"
	"strings"
)

type (
	Customer string // customer code, as in the order system
	Item     string // item code: a box's specification that stays over years
	Paper    string // paper code, e.g. TL140
	Flute    string // flute code, B, or a combination, BC
	Grade    string // board grade code, e.g. B-ST
	Machine  string // machine code, e.g. FFG-1
	Pallet   string // pallet code
	Roll     string // the plant's own roll number
	Plate    string // print plate
	Die      string // cutting die
	Stack    string // sheet stack on the floor
	Unit     string // tagged load
	Fact     string // ledger fact; a repeat of the same id is harmless
	Plan     int64  // plan number
)

// Release is the key of what is wanted: order, line and release together.
// Order numbers keep their leading zeros: they are text.
type Release struct {
	Order   string `json:"order"`
	Line    string `json:"line"`
	Release string `json:"release"`
}

// NewRelease returns the key with line and release defaulting to "1".
func NewRelease(order, line, release string) Release {
	return Release{order, cmp.Or(line, "1"), cmp.Or(release, "1")}
}

// String is the order alone where line and release are both 1, else order/line/release.
func (r Release) String() string {
	if r.Line == "1" && r.Release == "1" {
		return r.Order
	}
	return r.Order + "/" + r.Line + "/" + r.Release
}

// ParseRelease reads what String writes.
func ParseRelease(s string) (Release, error) {
	parts := strings.Split(s, "/")
	for _, p := range parts {
		if p == "" {
			return Release{}, fmt.Errorf("release %q: want ORDER or ORDER/LINE/RELEASE", s)
		}
	}
	switch len(parts) {
	case 1:
		return NewRelease(s, "", ""), nil
	case 3:
		return Release{parts[0], parts[1], parts[2]}, nil
	}
	return Release{}, fmt.Errorf("release %q: want ORDER or ORDER/LINE/RELEASE", s)
}

// Compare orders releases by order, line and release.
func Compare(a, b Release) int {
	return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Release, b.Release))
}

// MarshalText and UnmarshalText let a Release stand as a JSON string and map key.
func (r Release) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (r *Release) UnmarshalText(b []byte) error {
	got, err := ParseRelease(string(b))
	if err == nil {
		*r = got
	}
	return err
}
