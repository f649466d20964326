package rows

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strconv"
	"strings"
)

// openFormulas finds the cells of a sheet that hold a formula and no value: a
// program wrote them and no spreadsheet has worked them out.
func openFormulas(data []byte, sheet string) (_ map[[2]int]bool, err error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	part, err := sheetPart(z, sheet)
	if err != nil || part == "" {
		return nil, err
	}
	r, err := z.Open(part)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	return bareFormulas(xml.NewDecoder(io.LimitReader(r, maxUnzipped)))
}

func bareFormulas(d *xml.Decoder) (map[[2]int]bool, error) {
	found := map[[2]int]bool{}
	var at string
	var formula, value bool
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return found, nil
		}
		if err != nil {
			return nil, err
		}
		switch e := token.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "c":
				at, formula, value = attribute(e, "r"), false, false
			case "f":
				formula = true
			case "v", "is":
				value = true
			}
		case xml.EndElement:
			if e.Name.Local == "c" && formula && !value && len(found) < MaxRows {
				if row, column, ok := coordinates(at); ok {
					found[[2]int{row, column}] = true
				}
			}
		}
	}
}

// sheetPart follows the workbook's relations from a sheet's name to its part.
func sheetPart(z *zip.Reader, sheet string) (string, error) {
	var book struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	var relations struct {
		Each []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	if err := decodePart(z, "xl/workbook.xml", &book); err != nil {
		return "", err
	}
	if err := decodePart(z, "xl/_rels/workbook.xml.rels", &relations); err != nil {
		return "", err
	}
	for _, s := range book.Sheets {
		if s.Name != sheet {
			continue
		}
		for _, r := range relations.Each {
			if r.ID != s.ID {
				continue
			}
			if strings.HasPrefix(r.Target, "/") {
				return r.Target[1:], nil
			}
			return path.Join("xl", r.Target), nil
		}
	}
	return "", nil
}

func decodePart(z *zip.Reader, name string, into any) error {
	r, err := z.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(xml.NewDecoder(io.LimitReader(r, 16<<20)).Decode(into), r.Close())
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// coordinates reads a cell's name: "C7" is row 7, column 3.
func coordinates(s string) (row, column int, ok bool) {
	i := 0
	for i < len(s) && i < 3 && s[i] >= 'A' && s[i] <= 'Z' {
		column = column*26 + int(s[i]-'A') + 1
		i++
	}
	row, err := strconv.Atoi(s[i:])
	return row, column, err == nil && i > 0
}
