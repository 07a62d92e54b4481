package jobs

import (
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/smtpd"
)

func numberOf(t *testing.T, name string, otherwise int) int {
	t.Helper()
	n, err := strconv.Atoi(os.Getenv(name))
	if os.Getenv(name) == "" {
		return otherwise
	}
	require.NoError(t, err, name)
	return n
}

// Two programs on one database live through 53 weeks, with clock changes, kills and
// outages: each coach gets one letter for each week, and after a time in which nothing
// ran the newest alone. HALFHOUR_YEARS=5 lives through five years, HALFHOUR_SEED=7
// through another one.
func TestAYearOfWeeklyLetters(t *testing.T) {
	t.Parallel()
	seed := numberOf(t, "HALFHOUR_SEED", 1)
	for i := range numberOf(t, "HALFHOUR_YEARS", 1) {
		t.Run(fmt.Sprintf("seed %d", seed+i), func(t *testing.T) {
			y := openYear(t, uint64(seed+i))
			y.club("Europe/Lisbon", [2]int{7, 18}, [2]int{7, 1}, [2]int{7, 2}, [2]int{1, 6})
			y.club("America/New_York", [2]int{7, 2}, [2]int{7, 1}, [2]int{3, 20})
			y.club("Australia/Lord_Howe", [2]int{7, 2}, [2]int{6, 23}, [2]int{7, 1})
			y.club("Asia/Kolkata", [2]int{7, 18}, [2]int{4, 9}, [2]int{1, 0})
			y.club("Africa/Cairo", [2]int{5, 0}, [2]int{7, 18}, [2]int{2, 12})
			for week := range 53 {
				y.week(week)
			}
			y.settle()
			y.sum()
		})
	}
}

// sum says what the year was, and holds that it was one: that everything that was to
// happen did.
func (y *year) sum() {
	lost, letters := 0, 0
	for _, r := range y.readers {
		of := 0
		for _, e := range r.due {
			if e.lost {
				lost++
			} else {
				of++
			}
		}
		require.GreaterOrEqual(y.t, of, 40, r.name)
		letters += of
	}
	require.Equal(y.t, letters, len(y.came))
	require.Positive(y.t, y.tally.between, "a kill between the server's answer and the note of it")
	require.Positive(y.t, y.tally.held, "a kill while the server had the letter")
	require.GreaterOrEqual(y.t, y.tally.repeats, 1)
	require.Positive(y.t, lost, "some letters could not go for so long that they were not sent any more")
	y.eventually(func() bool {
		return y.count("select count(*) from river.river_job where state not in ('completed', 'cancelled')") == 0
	}, "no work is left")
	y.t.Logf("seed %d: %d letters to %d coaches, %d of them twice, %d not sent; %d looks, %d starts, %d kills, %d of them right after the server's answer and %d right before",
		y.seed, letters, len(y.readers), y.tally.repeats, lost, y.tally.moves, y.tally.starts, y.tally.kills, y.tally.between, y.tally.held)
}

const (
	hour = time.Hour
	date = 24 * time.Hour
)

// week lives through one: what happens in it, looks at any time and at its end, and then
// everything is there that must be.
func (y *year) week(n int) {
	y.sweep()
	y.begin()
	begins := firstMonday.Add(time.Duration(n) * 7 * date)
	if happens := happenings()[n]; happens != nil {
		happens(y, begins)
	}
	working := begins.Add(time.Duration(y.random.Int64N(int64(5 * date))))
	weekend := begins.Add(5*date + time.Duration(y.random.Int64N(int64(2*date)))) // most letters are due on Sundays
	for _, at := range []time.Time{working, weekend, begins.Add(7 * date)} {
		if y.clock.now().Before(at) {
			y.someStep(at)
		}
	}
	y.settle()
}

// someStep lets time pass, and sometimes a program is killed meanwhile.
func (y *year) someStep(to time.Time) {
	slot, kills := y.random.IntN(2), y.tally.kills
	switch y.random.IntN(10) {
	case 0:
		y.killAnywhere(slot, to)
	case 1:
		y.killAt(slot, before, to)
	case 2:
		y.killAt(slot, after, to)
	case 3:
		y.killWhileHeld(slot, to)
	case 4:
		y.begin()
		y.move(to)
	default:
		y.move(to)
	}
	if y.tally.kills > kills {
		y.takeUp()
	}
}

// killAnywhere kills a program while it works, at an instant that nobody chose.
func (y *year) killAnywhere(slot int, to time.Time) {
	y.pass(to)
	y.wake()
	<-time.After(time.Duration(y.random.IntN(60)) * time.Millisecond)
	y.kill(slot)
	if !y.alive() {
		y.start(slot)
		y.wake()
	}
	y.calm()
}

// killAt kills a program exactly there, if a letter comes by.
func (y *year) killAt(slot int, where byte, to time.Time) {
	if y.programs[slot] == nil {
		y.start(slot)
	}
	y.clock.stopAt(y.t, strconv.Itoa(slot)[0], where)
	y.pass(to)
	y.wake()
	if y.await(y.programs[slot].stopped) {
		y.kill(slot)
		if where == after {
			y.tally.between++
		}
	}
	y.clock.stopAt(y.t, 0, 0)
	if !y.alive() {
		y.start(slot)
		y.wake()
	}
	y.calm()
}

// killWhileHeld kills a program while the server has a letter and has not said so.
func (y *year) killWhileHeld(slot int, to time.Time) {
	for len(y.server.Begun()) > 0 {
		<-y.server.Begun()
	}
	hold := make(chan struct{})
	y.server.Set(func(o *smtpd.Options) { o.Hold = hold })
	y.pass(to)
	y.wake()
	if y.alive() && y.await(y.server.Begun()) {
		y.kill(slot)
		y.tally.held++
	}
	y.server.Set(func(o *smtpd.Options) { o.Hold = nil })
	close(hold)
	if !y.alive() {
		y.start(slot)
		y.wake()
	}
	y.calm()
}

// down has nothing run for a while.
func (y *year) down(length time.Duration) {
	y.say("nothing runs for %s", length)
	y.kill(0)
	y.kill(1)
	y.trouble = y.clock.now()
	y.pass(y.clock.now().Add(length))
	y.trouble = y.clock.now()
	y.begin()
}

// noMail has the mail server be no use for a while, in one way or the other.
func (y *year) noMail(length time.Duration, away bool) {
	y.say("no mail for %s", length)
	y.server.Set(func(o *smtpd.Options) { o.Away, o.Busy = away, !away })
	for end := y.clock.now().Add(length); y.clock.now().Before(end); {
		y.someStep(y.clock.now().Add(length/8 + time.Duration(y.random.Int64N(int64(length/8)))))
	}
	y.trouble = y.clock.now()
	y.server.Set(func(o *smtpd.Options) { o.Away, o.Busy = false, false })
	y.settle()
}

// happenings are what happens at the beginning of some weeks.
func happenings() map[int]func(y *year, begins time.Time) {
	saturday := func(y *year, begins time.Time) { y.move(begins.Add(5*date + 12*hour)) }
	return map[int]func(*year, time.Time){
		3:  func(y *year, _ time.Time) { y.down(5 * hour) },
		5:  func(y *year, b time.Time) { saturday(y, b); y.down(30 * hour) },
		8:  func(y *year, _ time.Time) { y.refuse(0) },
		11: func(y *year, _ time.Time) { y.takeAgain(0) },
		14: func(y *year, _ time.Time) { y.choose(y.readers[4], 5, 7) },
		15: func(y *year, b time.Time) { saturday(y, b); y.choose(y.readers[8], 1, 9) },
		16: func(y *year, b time.Time) { saturday(y, b); y.noMail(30*hour, true) },
		17: func(y *year, b time.Time) { saturday(y, b); y.down(9 * date) },
		24: func(y *year, b time.Time) { saturday(y, b); y.rezone("Asia/Kolkata", "America/St_Johns") },
		25: func(y *year, b time.Time) { y.move(b.Add(3 * date)); y.choose(y.readers[0], 2, 8) },
		27: func(y *year, b time.Time) { y.move(b.Add(2 * date)); y.choose(y.readers[0], 7, 18) },
		28: func(y *year, b time.Time) { saturday(y, b); y.noMail(2*date, false) },
		33: func(y *year, _ time.Time) { y.down(28 * date) },
		41: func(y *year, b time.Time) { saturday(y, b); y.noMail(5*date, true) },
		45: func(y *year, b time.Time) { saturday(y, b); y.down(2 * date) },
	}
}

// refuse has the server take nothing for somebody.
func (y *year) refuse(n int) {
	y.say("the server refuses %s", y.readers[n].name)
	y.server.Set(func(o *smtpd.Options) { o.Refuse = y.readers[n].address })
}

// takeAgain has it take everything, and the coach asks for a way in, which is how the
// program learns of it.
func (y *year) takeAgain(n int) {
	r := y.readers[n]
	y.say("the server takes letters to %s again", r.name)
	require.True(y.t, r.refused)
	y.server.Set(func(o *smtpd.Options) { o.Refuse = "" })
	key := roster.Key(fmt.Sprintf("way-in-%d-%d", n, y.tally.moves))
	require.NoError(y.t, y.post.WaysIn(y.t.Context(), []post.Person{{Club: r.owner.Club, Coach: r.id}}, key))
	y.move(y.clock.now())
	require.Zero(y.t, y.count("select count(*) from coach where mail_refused_at is not null"))
	r.refused = false
}
