package pack

// sky is the outline of what is settled: for each column between neighbouring
// normal positions the height, as an index into grid.at, below which every
// spot is covered or given up.
type sky struct {
	*search
	cols   []int64 // column edges
	height []int16
	spare  int64 // area that may still be given up
	boxes  []rect
	want   int
	limit  int
	failed map[string]int64 // outline → greatest spare area known to fail
}

// exhaust looks for want boxes among all normal layouts, from the lowest,
// leftmost open spot on: a box covering that spot has its corner there, or the
// spot stays open and is charged to the area that want boxes leave over. It
// returns the layout if there is one; done is false if the limit of steps ended
// the search before the answer was known.
func (s *search) exhaust(want, limit int) (boxes []rect, done bool) {
	if s.less == nil {
		return nil, false
	}
	x, y := s.at[s.top(s.deckX)], s.at[s.top(s.deckY)]
	k := &sky{search: s, want: want, limit: s.work + limit, failed: map[string]int64{}}
	for i := range s.at {
		if s.at[i] <= x {
			k.cols = append(k.cols, s.at[i])
		}
	}
	k.height = make([]int16, len(k.cols)-1)
	k.spare = x*y - int64(want)*s.long*s.short
	if k.spare < 0 {
		return nil, true
	}
	found := k.settle(y)
	return k.boxes, found || s.work <= k.limit && s.ctx.Err() == nil
}

// settle settles the lowest spot and all above it; the deck is y high.
func (k *sky) settle(y int64) bool {
	if len(k.boxes) == k.want {
		return true
	}
	if k.spent(k.limit) {
		return false
	}
	from := 0
	for i, h := range k.height {
		if h < k.height[from] {
			from = i
		}
	}
	base := k.height[from]
	to := from
	for to < len(k.height) && k.height[to] == base {
		to++
	}
	gap := k.cols[to] - k.cols[from]
	key := k.key()
	if least, known := k.failed[key]; known && k.spare <= least {
		return false
	}
	if k.putBox(from, gap, base, y, k.long, k.short) || k.long != k.short && k.putBox(from, gap, base, y, k.short, k.long) {
		return true
	}
	if k.giveUp(from, to, gap, base, y) {
		return true
	}
	if k.work <= k.limit && k.ctx.Err() == nil {
		k.failed[key] = max(k.spare, k.failed[key])
	}
	return false
}

func (k *sky) key() string {
	b := make([]byte, 0, 2*len(k.height))
	for _, h := range k.height {
		b = append(b, byte(h), byte(h>>8))
	}
	return string(b)
}

// putBox lays a w × h box at the left end of the gap and settles the rest.
func (k *sky) putBox(from int, gap int64, base int16, y, w, h int64) bool {
	bottom := k.at[base]
	if w > gap || bottom+h > y {
		return false
	}
	end := from
	right, roof := k.cols[from]+w, k.top(bottom+h)
	for k.cols[end] < right {
		end++
	}
	if k.cols[end] != right { // not a normal position here: the box can't end in a column
		return false
	}
	for i := from; i < end; i++ {
		k.height[i] = roof
	}
	k.boxes = append(k.boxes, rect{k.cols[from], bottom, w, h})
	if k.settle(y) {
		return true
	}
	k.boxes = k.boxes[:len(k.boxes)-1]
	for i := from; i < end; i++ {
		k.height[i] = base
	}
	return false
}

// giveUp leaves the lowest spot open: one cell of it, or the whole gap up to
// its lower neighbour where no box is narrow enough.
func (k *sky) giveUp(from, to int, gap int64, base int16, y int64) bool {
	end, roof := from+1, base+1
	if gap < k.short {
		end = to
		roof = k.lowerNeighbour(from, to, y)
	}
	top := y
	if int(roof) < len(k.at) {
		top = min(y, k.at[roof])
	}
	lost := (k.cols[end] - k.cols[from]) * (top - k.at[base])
	if lost > k.spare {
		return false
	}
	k.spare -= lost
	for i := from; i < end; i++ {
		k.height[i] = roof
	}
	if top == y {
		for i := from; i < end; i++ {
			k.height[i] = k.top(y)
		}
	}
	ok := k.at[k.height[from]] >= y && k.full(y) || k.settle(y)
	if ok && len(k.boxes) == k.want {
		return true
	}
	for i := from; i < end; i++ {
		k.height[i] = base
	}
	k.spare += lost
	return false
}

func (k *sky) lowerNeighbour(from, to int, y int64) int16 {
	roof := k.top(y)
	if from > 0 {
		roof = min(roof, k.height[from-1])
	}
	if to < len(k.height) {
		roof = min(roof, k.height[to])
	}
	return roof
}

// full says whether every column is settled up to y.
func (k *sky) full(y int64) bool {
	for _, h := range k.height {
		if k.at[h] < y {
			return false
		}
	}
	return true
}
