package combine

import (
	"cmp"
	"container/heap"
	"math"
	"slices"
)

// node is a set of plans: those that hold to what it asks.
type node struct {
	bound   float64
	dual    []float64 // of the root's rows
	more    []float64 // of what is asked
	columns []int     // basis: columns, runs counted from -1 down
	rows    []int     // basis: rows, what is asked counted from -1 down
	list    []agreed
}

// nodes is a heap, least bound first.
type nodes []*node

func (h nodes) Len() int           { return len(h) }
func (h nodes) Less(i, j int) bool { return h[i].bound < h[j].bound }
func (h nodes) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *nodes) Push(x any)        { *h = append(*h, x.(*node)) }
func (h *nodes) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// branching goes on from a programme of runs that is solved: it parts the plans
// by how many runs there are of a sort, so many or fewer against more, and solves
// the programme for either (after Ryan & Foster 1981; branch-and-price, Barnhart
// et al., Operations Research 46 (1998) 316–329). The least bound of all parts is
// a bound. Parts that no sort parts further stay as they are: there the point is a
// plan but for pieces of a cut.
type branching struct {
	m     *master
	open  nodes
	bound float64
	ended float64                // least bound of parts that nothing parts further
	root  []float64              // duals of the programme as it was
	offer func(likely []bestRun) // takes the runs that a node's point says; nil: nobody does
	gain  gains
}

func newBranching(m *master) *branching {
	m.asked.base = m.rows
	root := &node{bound: m.bound}
	b := &branching{m: m, open: nodes{root}, bound: m.bound, ended: math.Inf(1), gain: gains{}}
	b.keep(root)
	b.root = root.dual
	return b
}

// keep writes the programme's basis and duals into a node.
func (b *branching) keep(d *node) {
	m := b.m
	d.columns, d.rows = m.lp.Basis()
	for k, j := range d.columns {
		if j >= m.first {
			d.columns[k] = m.first - 1 - j
		}
	}
	at := make([]int, m.rows)
	d.more = make([]float64, len(m.asked.list))
	for k := range m.asked.list {
		if r := m.asked.list[k].row; r >= 0 {
			at[r], d.more[k] = k, m.dual[r]
		}
	}
	for k, r := range d.rows {
		if r >= m.asked.base {
			d.rows[k] = -1 - at[r]
		}
	}
	d.dual = slices.Clone(m.dual[:m.asked.base])
}

// enter loads a node's programme.
func (b *branching) enter(d *node) {
	m := b.m
	m.ask(slices.Clone(d.list))
	m.dual = slices.Clone(d.dual)
	var rows []int
	basic := make([]bool, len(d.list))
	for _, r := range d.rows {
		if r < 0 {
			basic[-1-r] = true
		} else {
			rows = append(rows, r)
		}
	}
	for k := range m.asked.list {
		g := &m.asked.list[k]
		if g.row < 0 {
			continue
		}
		if k >= len(d.more) {
			m.dual, rows = append(m.dual, 0), append(rows, g.row)
			continue
		}
		m.dual = append(m.dual, d.more[k])
		if basic[k] {
			rows = append(rows, g.row)
		}
	}
	m.load()
	m.bound, m.done = d.bound, false
	columns := slices.Clone(d.columns)
	for k, j := range columns {
		if j < 0 {
			columns[k] = m.first - 1 - j
		}
	}
	m.lp.Resume(columns, rows)
}

// mostSolved is the number of rounds that one node may take.
const mostSolved = 60

// round solves the node of the least bound and parts it. Plans that cost cost or
// more do not matter. It returns false when nothing is left to part.
func (b *branching) round(l *lister, cost float64, stop func() bool) bool {
	top := cost * (1 - 1e-9)
	if len(b.open) == 0 || b.open[0].bound >= top {
		b.raise(cost)
		return false
	}
	d := heap.Pop(&b.open).(*node)
	m := b.m
	b.enter(d)
	for k := 0; k < mostSolved && m.bound < top && m.round(l, stop); k++ {
		if stop() {
			heap.Push(&b.open, d)
			return false
		}
	}
	d.bound = max(d.bound, m.bound)
	if d.bound < top {
		b.part(d, top)
	}
	b.raise(cost)
	return true
}

// raise sets the bound to the least of what is open.
func (b *branching) raise(cost float64) {
	v := min(cost, b.ended)
	if len(b.open) > 0 {
		v = min(v, b.open[0].bound)
	}
	b.bound = max(b.bound, v)
}

// part puts the two parts of a solved node among the open ones.
func (b *branching) part(d *node, top float64) {
	m := b.m
	m.lp.Solve(200*len(m.items) + 5000)
	x := make([]float64, m.lp.Columns())
	m.lp.Values(x)
	b.keep(d)
	if b.offer != nil {
		b.offer(m.likely(x))
	}
	forks := m.forks(x)
	if len(forks) == 0 {
		b.ended = min(b.ended, d.bound)
		return
	}
	f := b.choose(d, forks, top)
	for _, g := range f.sides() {
		heap.Push(&b.open, &node{d.bound, d.dual, d.more, d.columns, d.rows, append(slices.Clone(d.list), g)})
	}
}

// likely are the runs that a point takes wholly or for a good part, the surest first.
func (m *master) likely(x []float64) []bestRun {
	var at []int
	for q := range m.runs {
		if x[m.first+q] > likelyLeast {
			at = append(at, q)
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(x[m.first+b], x[m.first+a]) })
	var out []bestRun
	for _, q := range at {
		for range max(1, int(x[m.first+q]+0.5)) {
			out = append(out, m.runs[q])
		}
	}
	return out
}

// likelyLeast is the share from which a run is likely.
const likelyLeast = 0.3
