package order

import "github.com/flutewright/flutewright/base/fault"

// File is an order file as read: the good rows, and the faulty ones beside their reasons.
type File struct {
	Name      string     `json:"name"`
	Columns   []string   `json:"columns,omitempty"` // the columns read; what is not among them is left as the book has it
	Rows      []FileRow  `json:"rows"`
	Waiting   []Waiting  `json:"waiting"`
	Asks      []string   `json:"asks,omitempty"`          // what the reader could not decide alone, e.g. the order of day and month
	Ignored   []string   `json:"ignored,omitempty"`       // columns of the file that no field is called
	Customers []Customer `json:"new_customers,omitempty"` // not in the book, taken as new where that is allowed
	Notes     []string   `json:"notes,omitempty"`         // what was read otherwise than written
}

// FileRow is one good row. Item is set when the row carries the item's own columns.
type FileRow struct {
	Row  int   `json:"row"` // line in the file, the header is 1
	Line Line  `json:"line"`
	Item *Item `json:"item,omitempty"`
}

// Waiting is a row that is not taken until it is mended.
type Waiting struct {
	Row    int               `json:"row"`
	Cells  map[string]string `json:"cells"` // as given, by column
	Faults fault.Violations  `json:"faults"`
}

// Difference sets an order file against the book's lines.
type Difference struct {
	New     []FileRow `json:"new"`
	Changed []Change  `json:"changed"`
	Gone    []Line    `json:"gone"` // open in the book, not in the file
	Same    int       `json:"same"`
}

// Change is a line of the book that the file states otherwise.
type Change struct {
	Row    FileRow  `json:"row"`
	Before Line     `json:"before"`
	Fields []string `json:"fields"` // what differs, in words: "quantity 5,000 → 6,000"
}
