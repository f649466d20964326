package peers

import (
	"bufio"
	"fmt"
	"io"
)

// Write writes the programme in free MPS, which every general solver reads: rows
// i0, i1 … for the items, u0, l0 … that tie a column's length to whether it runs,
// columns x0, y0 …
func (m *Model) Write(to io.Writer) error {
	w := bufio.NewWriter(to)
	fmt.Fprint(w, "NAME BOOK FREE\nROWS\n N COST\n")
	for i := range m.least {
		fmt.Fprintf(w, " G i%d\n", i)
	}
	for k := range m.columns {
		fmt.Fprintf(w, " L u%d\n G l%d\n", k, k)
	}
	fmt.Fprint(w, "COLUMNS\n")
	for k, c := range m.columns {
		fmt.Fprintf(w, " x%d COST %.15g\n x%d u%d 1\n x%d l%d 1\n", k, c.price, k, k, k, k)
		rows, coef := entries(c)
		for n, i := range rows {
			fmt.Fprintf(w, " x%d i%d %.15g\n", k, i, coef[n])
		}
	}
	fmt.Fprint(w, " MARK 'MARKER' 'INTORG'\n")
	for k, c := range m.columns {
		fmt.Fprintf(w, " y%d COST %.15g\n y%d u%d %.15g\n y%d l%d %.15g\n", k, c.price*m.loss, k, k, -c.longest, k, k, -m.shortest)
	}
	fmt.Fprint(w, " MARK 'MARKER' 'INTEND'\nRHS\n")
	for i, least := range m.least {
		fmt.Fprintf(w, " RHS i%d %.15g\n", i, least)
	}
	fmt.Fprint(w, "RANGES\n")
	for i, least := range m.least {
		fmt.Fprintf(w, " RANGE i%d %.15g\n", i, m.most[i]-least)
	}
	fmt.Fprint(w, "BOUNDS\n")
	for k := range m.columns {
		fmt.Fprintf(w, " UP BOUND y%d 1\n", k)
	}
	fmt.Fprint(w, "ENDATA\n")
	return w.Flush()
}
