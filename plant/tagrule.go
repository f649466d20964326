package plant

import (
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/tag"
)

// Number is the number of a unit's serial by the plant's rule: a GS1 serial
// shipping container code where the plant has a company prefix, else its own range.
func (r TagRule) Number(serial int64) (tag.Number, error) {
	if r.GS1Prefix != "" {
		return tag.SSCC(r.GS1Prefix, r.Extension, strconv.FormatInt(serial, 10))
	}
	return tag.Own(r.OwnPrefix, serial)
}

// Serial reads a number as a scanner or a hand gives it back to its serial:
// with or without the application identifier 00, brackets and spaces. It
// returns fault.Violations for what is no number of this plant.
func (r TagRule) Serial(code string) (int64, error) {
	id := strings.ToUpper(strings.NewReplacer("(", "", ")", "", " ", "", "\x1d", "").Replace(code))
	refused := func(why string) (int64, error) {
		return 0, fault.Violations{{Field: "unit", Value: code, Rule: why, Remedy: "scan the tag again, or type its number"}}
	}
	digits := strings.TrimPrefix(id, r.OwnPrefix)
	if r.GS1Prefix != "" {
		if len(id) == 20 {
			id = strings.TrimPrefix(id, "00")
		}
		if len(id) != 18 || strings.Trim(id, "0123456789") != "" {
			return refused("is not a unit's number: a serial shipping container code has 18 digits")
		}
		digits = strings.TrimPrefix(id[1:17], r.GS1Prefix)
		if len(digits) == 16 {
			return refused("is another company's number: this plant's begin with " + r.GS1Prefix + " after the first digit")
		}
	}
	serial, err := strconv.ParseInt(digits, 10, 64)
	if err != nil {
		return refused("is not a unit's number of this plant")
	}
	if n, err := r.Number(serial); err != nil || n.ID != id {
		return refused("is misread: its check digit or length is wrong")
	}
	return serial, nil
}
