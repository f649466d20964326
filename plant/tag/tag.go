// Package tag numbers unit loads and encodes the numbers as barcodes: a GS1
// serial shipping container code where the plant owns a company prefix, or a
// number of the plant's own range; both as Code 128.
package tag

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
)

// Number is a unit's number: as the system keeps it, as people read it, and as its barcode holds it.
type Number struct {
	ID      string // 376104250021234569, FB00000041
	Text    string // (00)376104250021234569, FB00000041
	Symbols []int  // Code 128 values from start to check character, no stop
}

const (
	ssccDigits = 18
	ownDigits  = 8
	mostOwn    = 99_999_999
)

// SSCC returns a serial shipping container code: extension digit, company
// prefix, serial padded with zeros so that prefix and serial make 16 digits,
// and the check digit; in GS1-128 under application identifier 00. All broken
// rules come as fault.Violations.
//
// Source: GS1 General Specifications, application identifier 00; GS1 syntax dictionary.
func SSCC(prefix string, extension int, serial string) (Number, error) {
	var v fault.Violations
	v.Require(len(prefix) >= 4 && len(prefix) <= 12 && numeric(prefix), "prefix", prefix, "must be 4 to 12 digits, as GS1 gave it")
	v.Require(extension >= 0 && extension <= 9, "extension", strconv.Itoa(extension), "must be one digit, 0 to 9")
	room := ssccDigits - 2 - len(prefix)
	v.Require(serial != "" && numeric(serial), "serial", serial, "must be digits")
	v.Require(len(strings.TrimLeft(serial, "0")) <= room, "serial", serial, fmt.Sprintf("must have at most %d digits beside the prefix %s", room, prefix))
	if err := v.Err(); err != nil {
		return Number{}, err
	}
	serial = strings.TrimLeft(serial, "0")
	body := strconv.Itoa(extension) + prefix + strings.Repeat("0", room-len(serial)) + serial
	id := body + strconv.Itoa(CheckDigit(body))
	symbols, err := Encode("00"+id, true)
	return Number{ID: id, Text: "(00)" + id, Symbols: symbols}, err
}

// Own returns a number of the plant's own range: its prefix and eight digits,
// in plain Code 128. A prefix is up to six capital letters or digits, so that the symbol fits a tag.
func Own(prefix string, serial int64) (Number, error) {
	var v fault.Violations
	v.Require(len(prefix) <= 6 && strings.Trim(prefix, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") == "", "own_prefix", prefix, "must be at most six capital letters or digits")
	v.Require(serial >= 0 && serial <= mostOwn, "serial", strconv.FormatInt(serial, 10), fmt.Sprintf("must be 0 to %d", mostOwn))
	if err := v.Err(); err != nil {
		return Number{}, err
	}
	id := fmt.Sprintf("%s%0*d", prefix, ownDigits, serial)
	symbols, err := Encode(id, false)
	return Number{ID: id, Text: id, Symbols: symbols}, err
}

// CheckDigit returns the GS1 check digit of digits: weights 3, 1, 3, … from
// the right, filled up to a multiple of ten. Any other character panics: check before.
//
// Source: GS1 General Specifications, check digit calculation.
func CheckDigit(digits string) int {
	if !numeric(digits) {
		panic("tag: check digit of " + strconv.Quote(digits))
	}
	sum := 0
	for i := range len(digits) {
		weight := 3
		if (len(digits)-1-i)%2 == 1 {
			weight = 1
		}
		sum += weight * int(digits[i]-'0')
	}
	return (10 - sum%10) % 10
}

func numeric(s string) bool { return strings.Trim(s, "0123456789") == "" }
