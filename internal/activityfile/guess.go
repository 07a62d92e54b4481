package activityfile

// rowsLookedAt is from how many rows the columns of a file without names are told.
const rowsLookedAt = 200

// Heart rates that somebody on foot may have, for telling columns apart (ours).
const (
	lowHeart  = 30
	highHeart = 230
)

// guess tells two columns without names apart: one counts up and the other looks
// like a heart rate. Where both could be either, or there are more, the file is
// refused: a wrong guess would be believed.
func (t *table) guess() (columns, error) {
	start := *t
	first, err := t.raw()
	if err != nil {
		return columns{}, err
	}
	for i := range len(separators) {
		*t = start
		left, right, ok := t.pairs(separators[i])
		*t = start
		if !ok {
			continue
		}
		c := noColumns(separators[i])
		c.names = 2
		timeFirst := countsUp(left) && looksLikeHeart(right)
		timeSecond := countsUp(right) && looksLikeHeart(left)
		switch {
		case timeFirst && timeSecond:
			return c, refuse("the two columns have no names, and both could be the time or the heart rate; please name them in the first line, such as elapsed_s and bpm")
		case timeFirst:
			c.time, c.heart = 0, 1
			return c, nil
		case timeSecond:
			c.time, c.heart = 1, 0
			return c, nil
		}
	}
	return columns{}, refuse("no line names a column for the time and one for the heart rate (it begins with %s); please name them in the first line, such as elapsed_s and bpm", quote(first))
}

// pairs are the first rows, where each has two cells.
func (t *table) pairs(separator byte) (left, right [][]byte, ok bool) {
	for range rowsLookedAt {
		row, err := t.next(separator)
		if err != nil || row != nil && len(row) != 2 {
			return nil, nil, false
		}
		if row == nil {
			break
		}
		left, right = append(left, row[0]), append(right, row[1])
	}
	return left, right, len(left) >= 2
}

// countsUp says whether all cells are times of one kind that never go back.
func countsUp(cells [][]byte) bool {
	c := clockOf(cells[0], 0)
	if c.read == nil {
		return false
	}
	first, _ := c.read(cells[0])
	last := first
	for _, cell := range cells {
		at, ok := c.read(cell)
		if !ok || at < last {
			return false
		}
		last = at
	}
	return last > first
}

// looksLikeHeart says whether the cells are numbers or blank, half of them and more
// heart rates, and none above what a byte holds.
func looksLikeHeart(cells [][]byte) bool {
	rates := 0
	for _, cell := range cells {
		n, ok := number(cell)
		switch {
		case !ok && !isBlank(cell), n < 0, n > 255:
			return false
		case n >= lowHeart && n <= highHeart:
			rates++
		}
	}
	return 2*rates >= len(cells)
}
