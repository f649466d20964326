package sheet

import "fmt"

const pagesAlias = "{pages of this sheet}"

// open starts a crew sheet: a folio whose pages carry head and foot.
func (s *source) open(title, caution string, size pageSize) *folio {
	f := newFolio(s.words, title, size, s.plan.Now)
	f.AliasNbPages(pagesAlias)
	f.caution = caution
	f.left = fmt.Sprintf("%s  ·  planned %s", s.book.Plant.Name, s.words.moment(s.plan.Now))
	return f
}

// newPage adds a page with a head, and returns the y below it.
// The head's right end holds what the sheet is about in one word.
func (f *folio) newPage(head, sub, right string) float64 {
	f.AddPage()
	f.colour(ink)
	y := margin + 6.5
	f.font(style{points: 20, bold: true})
	rightWidth := f.GetStringWidth(f.printable(right)) + 4
	f.fit(margin, y, f.inner()-rightWidth, style{points: 20, bold: true}, head)
	f.put(f.width-margin, y, style{points: 20, bold: true, anchor: "end"}, right)
	if sub != "" {
		y += 6
		f.fit(margin, y, f.inner(), style{points: plain, tone: &quiet}, sub)
	}
	y += 2.5
	f.line(margin, y, f.width-margin, y, rule)
	f.foot()
	return y + 2
}

// foot prints the caution in its box and the last line of the page.
func (f *folio) foot() {
	s := style{points: tiny, tone: &quiet}
	lines := f.wrap(f.inner()-4, s, f.caution)
	step := tiny * pointMM * 1.25
	h := float64(len(lines))*step + 2
	top := f.height - margin - 4 - h
	if len(lines) > 0 {
		f.frame(margin, top, f.inner(), h, hairline)
	}
	for i, line := range lines {
		f.put(margin+2, top+1+float64(i+1)*step-0.7, s, line)
	}
	y := f.height - margin
	f.fit(margin, y, f.inner()-30, s, f.left)
	f.font(s) // the alias is far wider than the number that replaces it
	f.put(f.width-margin-f.GetStringWidth("page 99 of 99"), y, s, fmt.Sprintf("page %d of %s", f.PageNo(), pagesAlias))
}

// floor is the lowest y that a page's matter may reach; caution and foot line stand below.
func (f *folio) floor() float64 {
	lines := f.wrap(f.inner()-4, style{points: tiny}, f.caution)
	return f.height - margin - 4 - float64(len(lines))*tiny*pointMM*1.25 - 5
}

// room returns y if need mm are left on the page, else the y of a fresh page.
func (f *folio) room(y, need float64, fresh func() float64) float64 {
	if y+need <= f.floor() {
		return y
	}
	return fresh()
}
