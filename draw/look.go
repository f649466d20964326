package draw

// look is how a role is drawn. Widths and dashes are in mm on paper.
type look struct {
	fill, stroke string // #rrggbb; "" for none
	width        float64
	dash         []float64
	hatch        hatching
}

// hatching says which way an area's hatch lines lean.
type hatching int

const (
	plain   hatching = iota
	leaning          // rising to the right
	backing          // falling to the right, wide apart
)

// The palette: ink on off-white, one warm board tone, one signal tone.
const (
	paper  = "#fbf9f3"
	ink    = "#26221c"
	soft   = "#6a6257"
	kraft  = "#e6cfa6"
	kraft2 = "#d9c5a9"
	grain  = "#b8a27f" // hatch lines of the second board tone
	deck   = "#efe9dc"
	signal = "#b02a1c"
	black  = "#000000"
)

// Line widths and dashes after ISO 128-2: wide 0.5 mm, narrow 0.25 mm; dashed
// line (type 02) of dashes 12 d and gaps 3 d, chain line (type 04) of 24 d, 3 d,
// 0.5 d, 3 d, with d the line's width. From memory of the standard.
const (
	wide   = 0.5
	narrow = 0.25
	hair   = 0.13
)

var looks = map[Role]look{
	Cut:      {stroke: ink, width: wide},
	Score:    {stroke: ink, width: narrow, dash: []float64{12 * narrow, 3 * narrow}},
	Outline:  {stroke: soft, width: hair},
	Dim:      {stroke: soft, width: hair},
	Centre:   {stroke: soft, width: narrow, dash: []float64{24 * narrow, 3 * narrow, narrow / 2, 3 * narrow}},
	Board:    {fill: kraft},
	BoardAlt: {fill: kraft2, stroke: grain, hatch: backing},
	Waste:    {fill: paper, stroke: ink, width: hair, hatch: leaning},
	Deck:     {fill: deck, stroke: soft, width: hair},
	Bar:      {fill: black},
	Label:    {stroke: ink, width: hair},
	Strong:   {stroke: ink, width: wide},
	Signal:   {stroke: signal, width: wide, hatch: leaning},
}

// inkOf is the colour of words in a role.
func inkOf(r Role) string {
	switch r {
	case Dim:
		return soft
	case Signal:
		return signal
	case Bar:
		return black
	}
	return ink
}

func bold(r Role) bool { return r == Strong || r == Signal }

// CSS styles the classes of drawings on a page by the page's custom properties
// text, quiet, raised, board, board-other, page and decide, so that one picture
// serves light, dark and print. Each has the stand-alone colour as its fallback.
const CSS = `.dr-cut,.dr-strong,.dr-score,.dr-waste-lines,.dr-hatch-waste{stroke:var(--text,` + ink + `)}
.dr-outline,.dr-dim,.dr-centre{stroke:var(--quiet,` + soft + `)}
.dr-arrow{fill:var(--quiet,` + soft + `)}
.dr-paper{fill:var(--raised,` + paper + `)}
.dr-board{fill:color-mix(in srgb,var(--board,` + kraft + `) 62%,var(--page,` + paper + `))}
.dr-boardalt{fill:color-mix(in srgb,var(--board-other,` + kraft2 + `) 80%,var(--board,` + kraft2 + `))}
.dr-hatch-boardalt{stroke:var(--quiet,` + grain + `);stroke-opacity:.45}
.dr-deck{fill:color-mix(in srgb,var(--board-other,` + deck + `) 35%,var(--raised,` + deck + `));stroke:var(--quiet,` + soft + `)}
.dr-signal-lines,.dr-hatch-signal{stroke:var(--decide,` + signal + `)}
.dr-text{fill:var(--text,` + ink + `)}
.dr-text-dim{fill:var(--quiet,` + soft + `)}
.dr-text-signal{fill:var(--decide,` + signal + `)}
`
