package frame

import (
	"bytes"
	"encoding/csv"
	"io"
	"net/http"
	"path"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
)

// Sent returns the file that a form sends, or the rows pasted into it, as a
// name and content that the readers of tables take.
func Sent(r *http.Request) (name string, content []byte, err error) {
	if err := r.ParseMultipartForm(4 << 20); err != nil {
		return "", nil, err
	}
	if pasted := r.FormValue("pasted"); strings.TrimSpace(pasted) != "" {
		content, err := commas(pasted)
		return "pasted.csv", content, err
	}
	f, head, err := r.FormFile("file")
	if err != nil {
		return "", nil, fault.Violations{{Field: "file", Rule: "choose a file, or paste rows"}}
	}
	defer f.Close()
	content, err = io.ReadAll(f)
	return path.Base(strings.ReplaceAll(head.Filename, `\`, "/")), content, err
}

// commas turns rows copied from a spreadsheet, whose cells are parted by tabs,
// into CSV; other rows stay as they are.
func commas(pasted string) ([]byte, error) {
	first, _, _ := strings.Cut(pasted, "\n")
	if !strings.Contains(first, "\t") {
		return []byte(pasted), nil
	}
	in := csv.NewReader(strings.NewReader(pasted))
	in.Comma, in.LazyQuotes, in.FieldsPerRecord = '\t', true, -1
	rows, err := in.ReadAll()
	if err != nil {
		return nil, fault.Violations{{Field: "pasted", Rule: "could not be read as rows: " + err.Error()}}
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	err = w.WriteAll(rows)
	return out.Bytes(), err
}
