// Package plantfile reads PLANT.json: a plant, or a whole book with its orders
// and paper. Reading is strict: every unknown field, every value of another
// kind or out of range, and every name that leads nowhere is said at once, with
// its JSON path.
package plantfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"unicode/utf8"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant"
)

// MaxBytes is the largest document that is read.
const MaxBytes = 64 << 20

// Read reads a plant.Plant or a plant.Book; whole tells that it was a book,
// which is a document with a field plant. The error is fault.Violations for a
// document that cannot be taken; nothing of it is returned then.
func Read(name string, r io.Reader) (b plant.Book, whole bool, err error) {
	raw, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return plant.Book{}, false, fmt.Errorf("read %s: %w", name, err)
	}
	if err := judgeText(name, raw); err != nil {
		return plant.Book{}, false, err
	}
	raw = bytes.TrimPrefix(raw, []byte("\xEF\xBB\xBF"))
	if err := judgeJSON(name, raw); err != nil {
		return plant.Book{}, false, err
	}
	var top map[string]json.RawMessage
	if err := json.Unmarshal(raw, &top); err != nil || top == nil {
		return plant.Book{}, false, fault.Violations{{Field: name, Rule: "must be an object: a plant, or a book with a field plant"}}
	}
	if _, whole = top["plant"]; whole {
		err = decode(raw, &b)
	} else {
		err = decode(raw, &b.Plant)
	}
	if err == nil && whole {
		err = b.Validate()
	} else if err == nil {
		err = b.Plant.Validate()
	}
	if err != nil {
		return plant.Book{}, false, in(name, err)
	}
	return b, whole, nil
}

// decode fills into strictly.
func decode(raw []byte, into any) error {
	var s strict
	s.walk("", raw, reflect.TypeOf(into).Elem())
	if err := s.v.Err(); err != nil {
		return err
	}
	if err := json.Unmarshal(raw, into); err != nil {
		return fault.Violations{{Field: "document", Rule: err.Error()}}
	}
	return nil
}

func judgeText(name string, raw []byte) error {
	refuse := func(rule, remedy string) error {
		return fault.Violations{{Field: name, Rule: rule, Remedy: remedy}}
	}
	switch {
	case len(raw) > MaxBytes:
		return refuse("is larger than 64 MB", "")
	case len(bytes.TrimSpace(raw)) == 0:
		return refuse("the file is empty", "")
	case bytes.HasPrefix(raw, []byte("\xFF\xFE")), bytes.HasPrefix(raw, []byte("\xFE\xFF")):
		return refuse("is written in UTF-16, not in UTF-8", "save it as UTF-8")
	case !utf8.Valid(raw):
		return refuse("is not UTF-8", "save it as UTF-8")
	}
	return nil
}

// judgeJSON says in which line a document stops being JSON.
func judgeJSON(name string, raw []byte) error {
	var one json.RawMessage
	d := json.NewDecoder(bytes.NewReader(raw))
	err := d.Decode(&one)
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &syntax):
		line := 1 + bytes.Count(raw[:min(int(syntax.Offset), len(raw))], []byte("\n"))
		return fault.Violations{{Row: line, Field: name, Rule: "is not JSON: " + syntax.Error()}}
	case err != nil:
		return fault.Violations{{Field: name, Rule: "ends in the middle of the document"}}
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return fault.Violations{{Field: name, Rule: "goes on after the end of its document", Remedy: "keep one document a file"}}
	}
	return nil
}

// in names the file before each place.
func in(name string, err error) error {
	var v fault.Violations
	if !errors.As(err, &v) {
		return fmt.Errorf("%s: %w", name, err)
	}
	out := make(fault.Violations, len(v))
	for i := range v {
		out[i] = v[i]
		out[i].Field = name + ": " + v[i].Field
	}
	return out
}
