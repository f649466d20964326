package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
)

// mostDocument is the largest JSON document read, in bytes.
const mostDocument = 64 << 20

// readDocument decodes one JSON document strictly: an unknown field, a value
// of the wrong kind, anything behind the end, or a file beyond mostDocument is
// a fault that names the file and the place.
func readDocument(path string, into any) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	raw, err := io.ReadAll(io.LimitReader(f, mostDocument+1))
	if err != nil {
		return fmt.Errorf("read %s: %w", path, err)
	}
	name := filepath.Base(path)
	if len(raw) > mostDocument {
		return fault.Violations{{Field: name, Rule: "is larger than 64 MB", Remedy: "split it"}}
	}
	return decodeDocument(name, raw, into)
}

// decodeDocument is readDocument on bytes that are at hand.
func decodeDocument(name string, raw []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return documentFault(name, raw, err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return fault.Violations{{Field: name, Rule: "goes on after the end of its document", Remedy: "keep one document a file"}}
	}
	return nil
}

func documentFault(name string, raw []byte, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return fault.Violations{{Field: fmt.Sprintf("%s line %d", name, lineOf(raw, syntax.Offset)), Rule: "is not JSON: " + syntax.Error()}}
	case errors.As(err, &kind):
		return fault.Violations{{Field: fmt.Sprintf("%s line %d, %s", name, lineOf(raw, kind.Offset), kind.Field), Value: kind.Value, Rule: "must be of kind " + kind.Type.String()}}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return fault.Violations{{Field: name, Rule: "ends in the middle of the document"}}
	}
	return fault.Violations{{Field: name, Rule: strings.TrimPrefix(err.Error(), "json: ")}}
}

func lineOf(raw []byte, offset int64) int {
	return 1 + bytes.Count(raw[:min(int(offset), len(raw))], []byte("\n"))
}

// writeDocument writes v as JSON to the file, or to standard output without one.
// A file appears whole or not at all.
func writeDocument(e *env, path string, v any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return err
	}
	if path == "" {
		_, err := e.stdout.Write(b.Bytes())
		return err
	}
	return writeWhole(path, func(w io.Writer) error {
		_, err := w.Write(b.Bytes())
		return err
	})
}

// writeWhole writes a file beside its place and moves it there when it is complete.
func writeWhole(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".flutewright-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err = write(f); err != nil {
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
