package store

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
)

// squeezeOver is the size in bytes from which a body is kept compressed.
const squeezeOver = 4096

// packed returns v as JSON, compressed where it is large.
func packed(v any) ([]byte, error) {
	plain, err := json.Marshal(v)
	if err != nil || len(plain) <= squeezeOver {
		return plain, err
	}
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(plain); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// unpack reads what packed wrote; JSON never starts with gzip's first byte.
func unpack(body []byte, to any) error {
	if len(body) == 0 || body[0] != 0x1f {
		return json.Unmarshal(body, to)
	}
	r, err := gzip.NewReader(bytes.NewReader(body))
	if err != nil {
		return fmt.Errorf("compressed body: %w", err)
	}
	plain, err := io.ReadAll(r)
	if err != nil {
		return fmt.Errorf("compressed body: %w", err)
	}
	return json.Unmarshal(plain, to)
}
