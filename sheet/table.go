package sheet

// column of a table. A width of 0 takes an equal share of what the others leave.
type column struct {
	head   string
	width  float64
	anchor string
	bold   bool
}

// table is ruled text: a head in small quiet words, a rule, rows parted by hairlines.
type table struct {
	columns []column
	rows    [][]string
	points  float64 // of the rows; 0: plain
	height  float64 // of a row in mm; 0: by size
}

func (t table) rowHeight() float64 {
	if t.height > 0 {
		return t.height
	}
	return t.size() * pointMM * 1.6
}

func (t table) size() float64 {
	if t.points > 0 {
		return t.points
	}
	return plain
}

// tall returns the table's height in mm.
func (t table) tall() float64 { return 5 + float64(len(t.rows))*t.rowHeight() }

// table prints t with its upper edge at y and returns its lower edge.
func (f *folio) table(x, y, width float64, t table) float64 {
	cols := spread(t.columns, width)
	head := style{points: tiny, tone: &quiet}
	at := x
	for _, c := range cols {
		f.cell(at, y+3.4, c, head, c.head)
		at += c.width
	}
	y += 5
	f.line(x, y, x+width, y, 0.3)
	h := t.rowHeight()
	for r, row := range t.rows {
		at = x
		for i, c := range cols {
			if i < len(row) {
				f.cell(at, y+h*0.5+t.size()*pointMM*0.35, c, style{points: t.size(), bold: c.bold}, row[i])
			}
			at += c.width
		}
		y += h
		if r+1 == len(t.rows) || t.rows[r+1][0] != "" { // a row without its first cell goes on with the row above
			f.between(x, y, x+width)
		}
	}
	return y
}

const cellGap = 1.2

func (f *folio) cell(x, y float64, c column, s style, txt string) {
	s.anchor = c.anchor
	switch c.anchor {
	case "end":
		f.fit(x+c.width-cellGap, y, c.width-2*cellGap, s, txt)
	case "middle":
		f.fit(x+c.width/2, y, c.width-2*cellGap, s, txt)
	default:
		f.fit(x+cellGap, y, c.width-2*cellGap, s, txt)
	}
}

func spread(columns []column, width float64) []column {
	free, open := width, 0
	for _, c := range columns {
		free -= c.width
		if c.width == 0 {
			open++
		}
	}
	out := make([]column, len(columns))
	copy(out, columns)
	for i := range out {
		if out[i].width == 0 {
			out[i].width = free / float64(open)
		}
	}
	return out
}
