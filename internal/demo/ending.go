package demo

import (
	"context"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// bone: a sign of a bone was reported yesterday, so the engine refers.
func bone() story {
	return story{
		from: 15, look: 3,
		coach: []beat{
			rules(48, ruling{choice: roster.Hold, reason: "Talked on the phone: new shoes, gone since. Stays, and tells me after the next one.", word: "Same phase, old shoes. Write to me after the next session."}),
		},
		athlete: append(sessions(good, 14, 12, 9, 7, 5, 3), session(49, good, hurts("right knee", 3, 3)), session(1, good, hurts("left shin", 2, 2), reports(readiness.HopPain))),
	}
}

// stopped: yesterday's session ended with pain, so the engine pauses.
func stopped() story {
	return story{
		from: 15, look: 3,
		athlete: append(sessions(good, 14, 12, 10, 8, 6, 3), session(1, good, hurts("right calf", 6, 4), stops(0.6, readiness.StoppedForPain))),
	}
}

// soreMorning: still sore the morning after, so the engine eases back.
func soreMorning() story {
	return story{from: 15, look: 3, athlete: append(sessions(good, 14, 12, 10, 7, 5), session(3, good, hurts("left knee", 3, 4)))}
}

// returned: more than eight weeks away, back the day before yesterday; the engine asks
// for the first phase and a fresh health check. The breath came back, the heart did not.
func returned() story {
	return story{
		from: 67, look: 67,
		coach: []beat{
			notes(52, "No answer to two messages."),
			notes(21, "Rang: a move, a new job, no head for it. Wants to begin again once the boxes are unpacked."),
		},
		athlete: []beat{session(2, good, felt(6, readiness.Sentence))},
	}
}

// ownRuns: two runs outside the plan on two days beside each other.
func ownRuns() story {
	return story{
		from: 15, look: 7,
		coach: []beat{notes(43, "Loves it, and overdoes it. Calf again after a run on top.")},
		athlete: append(sessions(good, 14, 12, 10, 8, 6, 4),
			session(46, good, hurts("left calf", 6, 4), stops(0.6, readiness.StoppedForPain)), run(2, 26, 5), run(1, 24, 5)),
	}
}

// harder: this week everything was run too fast, and said to be fine.
func harder() story {
	return story{
		from: 36, look: 8,
		athlete: together(sessions(calm, 35, 33, 30, 28, 26, 23, 21, 19, 16, 14, 12, 9), sessions(fast, 6, 3, 1)),
	}
}

// stalled: weeks on one phase because the walks do not settle in time; a half step
// is proposed.
func stalled() story {
	return story{
		from: 33, look: 24,
		coach:   []beat{notes(12, "Walks briskly between the runs. Asked her to stroll instead.")},
		athlete: together(sessions(good, 33, 31, 29, 27), sessions(late, 23, 21, 18, 16, 13, 11, 8, 6, 4, 1)),
	}
}

// ready: three good sessions since the coach looked last.
func ready() story {
	return story{from: 15, look: 9, athlete: sessions(good, 15, 13, 11, 6, 4, 1)}
}

// arrived: thirty minutes without a break.
func arrived() story {
	return story{
		from: 15, look: 9,
		coach:   []beat{notes(6, "Thinks about a second round with the next group, as a companion.")},
		athlete: sessions(good, 15, 13, 11, 6, 3, 1),
	}
}

// longer: hardly anything for three weeks, then all of it and more; the coach has
// seen it.
func longer() story {
	return story{
		from: 36, look: 28,
		coach:   []beat{notes(18, "Exams. Comes when she can."), looks(1)},
		athlete: together(sessions(good, 35, 33, 30, 28, 26, 17, 10), []beat{session(6, good, runsOn(0.14)), session(4, good, runsOn(0.14)), session(2, good, runsOn(0.14))}),
	}
}

// stuckOnHalf: the half step was tried, and it stays hard; the coach has answered.
func stuckOnHalf() story {
	return story{
		from: 40, look: 28,
		coach: []beat{
			rules(27, ruling{choice: roster.HalfStep, reason: "Asked for a smaller step: the last sessions cost him the next day.", word: "A step in between. Run as if you had to talk all the way."}),
			notes(15, "On tablets that keep the pulse down: we go by talk and effort alone."),
			looks(1),
		},
		athlete: together(sessions(good, 40, 38, 36, 33, 31, 29), sessions(hard, 26, 24, 21, 19, 16, 14, 12, 9, 7, 5, 2)),
	}
}

// nowAndThen: less than six sessions in ten for two weeks; the coach has seen it.
func nowAndThen() story {
	return story{
		from: 30, look: 14,
		coach:   []beat{looks(3)},
		athlete: append(sessions(good, 30, 28, 25, 22, 19, 12, 5), missed(10), missed(8)),
	}
}

// justMoved: moved up four days ago.
func justMoved() story {
	return story{
		from: 15, look: 14,
		coach:   []beat{looks(4)},
		athlete: sessions(good, 14, 12, 9, 7, 5, 2),
	}
}

// halfway: two sessions of three on a new phase.
func halfway() story {
	return story{
		from: 15, look: 14,
		coach:   []beat{looks(6)},
		athlete: sessions(good, 14, 12, 9, 7, 5, 2),
	}
}

// sooner: the walks do not settle by half yet, but sooner each time.
func sooner() story {
	return story{
		from: 15, look: 14,
		coach:   []beat{looks(9)},
		athlete: append(sessions(good, 15, 13, 11), session(8, lateBy(0.80)), session(6, lateBy(0.72)), session(3, lateBy(0.64)), session(1, lateBy(0.56))),
	}
}

// cutShort: one session of this week ended early.
func cutShort() story {
	return story{
		from: 15, look: 14,
		coach:   []beat{looks(9)},
		athlete: append(sessions(good, 15, 14, 12, 10, 8, 6, 2), talks(11, stages()...), session(41, good, hurts("right foot", 4, 3)), session(4, good, stops(0.7, readiness.NotStated))),
	}
}

// walking: on the walking base, two walks of three.
func walking() story {
	return story{
		from: 15, look: 14,
		coach:   []beat{looks(6)},
		athlete: sessions(good, 14, 12, 9, 7, 5, 2),
	}
}

// silent: does it all and tells nothing, so that the gate waits for answers.
func silent() story {
	return story{from: 15, look: 15, athlete: sessions(untold, 14, 12, 9, 7, 4, 2)}
}

// quietFor: no word for so many days.
func quietFor(days int) story {
	return story{
		from: days + 14, look: days + 3,
		coach:   []beat{notes(2, "Wrote to ask how it goes. No answer yet.")},
		athlete: append(sessions(good, days+13, days+11, days+8, days+6), session(days+3, late), session(days, late)),
	}
}

// holiday: away since five days, for a week more.
func holiday() story {
	return story{
		from: 15, look: 9,
		coach: []beat{{8, func(ctx context.Context, l *life, date day.Date) error {
			return l.away(ctx, date, 3, 12, "Family visit")
		}}},
		athlete: append(sessions(good, 15, 13, 10, 8), session(53, good, reports(readiness.NightPain)), session(6, late)),
	}
}

// waiting: a stop sign, referred five days ago; no letter from the doctor yet.
func waiting() story {
	return story{
		from: 15, look: 9,
		coach:   []beat{looks(5), privately(4, "Has an appointment this week. Feels fine in everyday life; no running until then.")},
		athlete: append(sessions(good, 14, 12, 10, 8), session(6, good, stops(0.5, readiness.Shortened), reports(readiness.Palpitations))),
	}
}

// gone: left the club so many days ago, so that everything is erased before long.
func gone(days int) story {
	return story{
		from: days + 10, look: days + 3,
		coach:   []beat{notes(days+2, "Rang to say goodbye: a new job in another town. Runs ten minutes in one go by now, and means to go on alone."), leaves(days)},
		athlete: sessions(good, days+9, days+7, days+4),
	}
}

// newcomer: here since yesterday, and nothing logged yet.
func newcomer() story { return story{from: 1, look: 2} }
