package part

// Lifted is one exercise in one session.
type Lifted struct {
	Date   string // "12 April"
	Height int    // grams of one dumbbell, or the weakest set where there was none
	Text   string // "10, 10, 9 at 8 kg, 2 left over"
}

// Lifts is the course of one exercise, the oldest first.
type Lifts struct {
	Name   string
	Unit   string // what the height of the bars is: "weight", "repetitions", "seconds"
	Top    string // "8 kg", "12"
	Label  string // in words
	Last   string // what was done the last time
	Points []Lifted
}

// bars are the sessions before, and the newest.
func (l Lifts) bars() chart {
	c := chart{Box: boxOf(len(l.Points)), Top: 1}
	for _, p := range l.Points {
		c.Top = max(c.Top, p.Height)
	}
	var before, now pen
	for i, p := range l.Points {
		height := max(p.Height*chartHeight/c.Top, 1)
		to := &before
		if i == len(l.Points)-1 {
			to = &now
		}
		to.box(i*stepWidth+3, chartHeight-height, stepWidth-6, height)
	}
	c.Before, c.Now = before.String(), now.String()
	return c
}
