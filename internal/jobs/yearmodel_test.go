package jobs

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// reader is a coach as the test knows him or her: what is wanted, and what must have
// come of it. It is worked out another way than by the program: by looking at the
// clock of the place every quarter of an hour.
type reader struct {
	id          roster.CoachID
	owner       roster.Actor // of the club
	name        string
	address     string
	zone        string
	place       *time.Location
	day, hour   int
	from        time.Time // what was due until then is seen to; zero: the choice is new
	refused     bool      // the mail server refused the address
	lastTrouble time.Time // when a letter to this reader last could not go
	due         map[day.Date]*expected
}

// expected is a letter that must come.
type expected struct {
	at   time.Time // when it was written down
	lost bool      // it could not go for so long that it was not worth it any more, or was refused
}

// choose is another choice: from now on, the next time of it counts.
func (r *reader) choose(weekday, hour int) { r.day, r.hour, r.from = weekday, hour, time.Time{} }

// move is another zone, which is the same to the letters.
func (r *reader) move(place *time.Location) {
	r.zone, r.place, r.from = place.String(), place, time.Time{}
}

// look is what must follow when somebody looks at the instant whose letters are due.
func (r *reader) look(at time.Time) {
	if r.refused {
		return
	}
	if newest := r.newest(at); !r.from.IsZero() && !newest.IsZero() {
		if week := mondayOf(newest.In(r.place)); r.due[week] == nil {
			r.due[week] = &expected{at: at}
		}
	}
	r.from = at
}

// newest is the last time at which a letter was due after from, until the instant; zero: there was none.
func (r *reader) newest(until time.Time) (last time.Time) {
	back := until.AddDate(0, 0, -9)
	if r.from.After(back) {
		back = r.from
	}
	for at := back.Truncate(quarter).Add(quarter); !at.After(until); at = at.Add(quarter) {
		if r.isDue(at) && !r.isDue(at.Add(-quarter)) && r.firstToday(at) {
			last = at
		}
	}
	return last
}

const quarter = 15 * time.Minute

// isDue says whether the clock of the place shows the day and the hour, or one after it.
func (r *reader) isDue(at time.Time) bool {
	local := at.In(r.place)
	return (int(local.Weekday())+6)%7+1 == r.day && local.Hour() >= r.hour
}

// firstToday says that it was not due earlier on that date: an hour may come twice.
func (r *reader) firstToday(at time.Time) bool {
	date := at.In(r.place).YearDay()
	for earlier := at.Add(-quarter); earlier.In(r.place).YearDay() == date; earlier = earlier.Add(-quarter) {
		if r.isDue(earlier) {
			return false
		}
	}
	return true
}

// mondayOf is the Monday of the local date's week.
func mondayOf(local time.Time) day.Date {
	for local.Weekday() != time.Monday {
		local = local.AddDate(0, 0, -1)
	}
	return day.On(local.Date())
}

// worth is how long a weekly letter is worth sending.
var worth = post.Weekly.Worth()

// waits says whether a letter is on its way.
func (r *reader) waits(came map[letterOf]int, at time.Time) bool {
	for week, e := range r.due {
		if !e.lost && came[letterOf{r.address, week}] == 0 && at.Sub(e.at) <= worth {
			return true
		}
	}
	return false
}

// giveUp marks what could not go in time.
func (r *reader) giveUp(came map[letterOf]int, at, lastTrouble time.Time) {
	for week, e := range r.due {
		late := at.Sub(e.at) > worth && !later(lastTrouble, r.lastTrouble).Before(e.at)
		if came[letterOf{r.address, week}] == 0 && (late || r.refused) {
			e.lost = true
		}
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// letterOf is whose letter of which week.
type letterOf struct {
	address string
	week    day.Date
}
