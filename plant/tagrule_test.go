package plant_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/plant"
)

// law: what is numbered is read back, with the marks that scanners and people add.
func TestTagNumbersAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := plant.TagRule{OwnPrefix: rapid.SampledFrom([]string{"", "U", "FB1"}).Draw(t, "own")}
		if rapid.Bool().Draw(t, "gs1") {
			r.GS1Prefix, r.Extension = rapid.StringMatching(`[0-9]{7,9}`).Draw(t, "prefix"), rapid.IntRange(0, 9).Draw(t, "extension")
		}
		serial := rapid.Int64Range(0, 9_999_999).Draw(t, "serial")
		n, err := r.Number(serial)
		if err != nil {
			t.Fatal(err)
		}
		for _, code := range []string{n.ID, n.Text, " " + strings.ToLower(n.ID) + " "} {
			if got, err := r.Serial(code); err != nil || got != serial {
				t.Fatalf("%q is read as %d, %v; want %d", code, got, err, serial)
			}
		}
	})
}

func TestWrongTagsAreRefused(t *testing.T) {
	gs1, own := plant.TagRule{GS1Prefix: "7610425", Extension: 3}, plant.TagRule{OwnPrefix: "U"}
	for _, c := range []struct {
		source string
		rule   plant.TagRule
		code   string
		says   string
	}{
		{"hand: one digit off", gs1, "376104250021234568", "check digit"},
		{"hand: another company", gs1, "376104990021234569", "another company"},
		{"hand: an own number where GS1 is used", gs1, "U00000041", "18 digits"},
		{"hand: too short", own, "U41", "misread"},
		{"hand: words", own, "pallet 4", "not a unit's number"},
	} {
		if _, err := c.rule.Serial(c.code); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.source, err)
		}
	}
}
