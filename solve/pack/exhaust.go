package pack

// sky is the outline of what is settled: for each column between neighbouring
// normal positions the height, as an index into grid.at, below which every
// spot is covered or given up.
type sky struct {
	*search
	cols   []int64 // column edges
	height []int16
	deck   int64 // height of the deck, a normal size
	spare  int64 // area that may still be given up
	boxes  []rect
	want   int
	limit  int
	failed map[string]int64 // outline → greatest spare area known to fail
}

// exhaust looks for want boxes among all normal layouts, from the lowest,
// leftmost open spot on: a box covering that spot has its corner there, or the
// spot stays open and is charged to the area that want boxes leave over. It
// returns the layout if there is one; done is false if the limit of steps or
// the context ended the search before the answer was known.
func (s *search) exhaust(want, limit int) (boxes []rect, done bool) {
	if s.less == nil {
		return nil, false
	}
	i, j := s.top(s.deckX), s.top(s.deckY)
	k := &sky{search: s, cols: s.at[:i+1], height: make([]int16, i), deck: s.at[j], want: want,
		spare: s.at[i]*s.at[j] - int64(want)*s.long*s.short, limit: s.work + limit, failed: map[string]int64{}}
	if k.spare < 0 {
		return nil, true
	}
	if k.settle() {
		return k.boxes, true
	}
	return nil, s.work <= k.limit && s.ctx.Err() == nil
}

// settle settles the lowest, leftmost spot and all after it.
func (k *sky) settle() bool {
	if len(k.boxes) == k.want {
		return true
	}
	if k.spent(k.limit) {
		return false
	}
	from, to := k.lowest()
	base := k.height[from]
	if k.at[base] >= k.deck || k.lost() > k.spare {
		return false
	}
	key := k.outline()
	if least, known := k.failed[key]; known && k.spare <= least {
		return false
	}
	gap := k.cols[to] - k.cols[from]
	if k.put(from, gap, base, k.long, k.short) || k.long != k.short && k.put(from, gap, base, k.short, k.long) || k.giveUp(from, to, gap, base) {
		return true
	}
	if k.work <= k.limit && k.ctx.Err() == nil {
		k.failed[key] = max(k.spare, k.failed[key])
	}
	return false
}

// lost returns an area that no layout above the outline covers, the greater of
// two: over each column the height that no sum of sides fills, and in each gap
// the width that none fills, as high as the next normal position.
func (k *sky) lost() int64 {
	columns, gaps := int64(0), int64(0)
	for i := 0; i < len(k.height); {
		h, from := k.height[i], i
		for i < len(k.height) && k.height[i] == h {
			i++
		}
		wide, high := k.cols[i]-k.cols[from], k.deck-k.at[h]
		columns += wide * (high - k.at[k.top(high)])
		if high > 0 && (from == 0 || k.height[from-1] > h) && (i == len(k.height) || k.height[i] > h) {
			gaps += (wide - k.at[k.top(wide)]) * (k.at[h+1] - k.at[h])
		}
	}
	return max(columns, gaps)
}

// lowest returns the columns from … to of the lowest, leftmost gap.
func (k *sky) lowest() (from, to int) {
	for i, h := range k.height {
		if h < k.height[from] {
			from = i
		}
	}
	to = from
	for to < len(k.height) && k.height[to] == k.height[from] {
		to++
	}
	return from, to
}

func (k *sky) outline() string {
	b := make([]byte, 0, 2*len(k.height))
	for _, h := range k.height {
		b = append(b, byte(h), byte(h>>8))
	}
	return string(b)
}

// put lays a w × h box at the left end of the gap and settles the rest. A box
// that does not end on a normal position is none of a normal layout.
func (k *sky) put(from int, gap int64, base int16, w, h int64) bool {
	right, roof := k.cols[from]+w, k.at[base]+h
	if w > gap || roof > k.deck {
		return false
	}
	end, up := k.top(right), k.top(roof)
	if k.at[end] != right || k.at[up] != roof {
		return false
	}
	k.boxes = append(k.boxes, rect{k.cols[from], k.at[base], w, h})
	k.raise(from, int(end), up)
	if k.settle() {
		return true
	}
	k.boxes = k.boxes[:len(k.boxes)-1]
	k.raise(from, int(end), base)
	return false
}

// giveUp leaves the lowest spot open: one cell of it, or the whole gap up to
// its lower neighbour where no box is narrow enough.
func (k *sky) giveUp(from, to int, gap int64, base int16) bool {
	end, roof := from+1, base+1
	if gap < k.short {
		end, roof = to, k.top(k.deck)
		if from > 0 {
			roof = min(roof, k.height[from-1])
		}
		if to < len(k.height) {
			roof = min(roof, k.height[to])
		}
	}
	lost := (k.cols[end] - k.cols[from]) * (k.at[roof] - k.at[base])
	if lost > k.spare {
		return false
	}
	k.spare -= lost
	k.raise(from, end, roof)
	if k.settle() {
		return true
	}
	k.spare += lost
	k.raise(from, end, base)
	return false
}

func (k *sky) raise(from, end int, to int16) {
	for i := from; i < end; i++ {
		k.height[i] = to
	}
}
