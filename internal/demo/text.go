package demo

import (
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/simulate"
)

// pick takes one of the texts.
func (l *life) pick(texts []string) string { return texts[l.chance.IntN(len(texts))] }

// some is pick, or nothing: coaches do not always write.
func (l *life) some(texts []string) string {
	if l.chance.IntN(3) == 0 {
		return ""
	}
	return l.pick(texts)
}

func upWords() []string {
	return []string{
		"Well walked and well run. The next phase is yours; keep the runs slow enough for a short sentence.",
		"Your breath is back sooner each week. One phase up.",
		"One phase up. Slower is fine, shorter is fine, stopping to breathe is fine.",
		"Good steady weeks. Up you go; give the first session an easy start.",
		"Three good ones in a row. The runs get a little longer now, the pace stays the same.",
	}
}

func holdWords() []string {
	return []string{
		"Same again this week. Slow enough to chat, please.",
		"We stay here one more week; there is no hurry.",
		"Same session, flatter route. It will come.",
	}
}

func holdReasons() []string {
	return []string{
		"Slept badly all week, and said so. Once more on this phase.",
		"The third session was on the flat by the water; I want to see one on the usual round.",
		"Starts a new job next week. Not two new things in one week.",
		"Asked to stay: the last walk still felt long.",
	}
}

func stayReasons() []string {
	return []string{
		"Talked on the phone: new shoes, gone since. Stays, and tells me after the next one.",
		"The hard ones were up the hill road. Same phase on the flat.",
	}
}

func backWords() []string {
	return []string{
		"One phase back for a week, so that it can calm down. This is part of the way.",
		"Let us take a step back and come up again from there.",
	}
}

func halfWords() []string {
	return []string{
		"A step in between: runs a little shorter, walks a little longer.",
		"Half a step down, so that the walks have room for your breath.",
	}
}

func pauseWords() []string {
	return []string{
		"No running for now, walking as long as nothing hurts. Please have it looked at, and write to me.",
		"We pause. Rest it, and tell me how the stairs feel in a few days.",
	}
}

func resumeWords() []string {
	return []string{
		"Good to have you back. First session very easy; stop at the first sign of it.",
		"Off we go again, gently.",
	}
}

func referWords() []string {
	return []string{"Please see a doctor before the next run. If it comes back or gets worse, do not wait."}
}

// clearances are what doctors said; when they said it is not in them.
func clearances() []roster.Clearance {
	return []roster.Clearance{
		{GivenBy: "Dr Solano"},
		{GivenBy: "The clinic on the quay", Limits: "Easy at first: only as fast as you can talk. Stop if it hurts again in the same place."},
	}
}

func jumpWords() []string {
	return []string{
		"That was a lot more than the weeks before. This week only what is planned, please.",
		"Strong week, and a big one. Let the legs catch up: no runs on top.",
	}
}

// remark is a note that goes with a session now and then.
func (l *life) remark(a *simulate.Account) string {
	s := &a.Session
	switch {
	case s.Outcome == readiness.CalledOff:
		return l.pick([]string{"Storm warning, stayed in.", "Down with a cold.", "Child ill at home.", "Paths iced over in the morning, and no time later."})
	case l.temper == simulate.Silent || l.chance.IntN(9) > 0 || len(s.Pain) > 0:
		return ""
	case s.Kind == readiness.Strength:
		return "Squats, calf raises, side planks."
	case s.Kind == readiness.Extra:
		return "Just felt like it."
	case s.Effort.Or(4) >= 6:
		return l.pick([]string{"Heavy legs today.", "Headwind all the way out.", "Too fast at the start, again."})
	}
	return l.pick([]string{
		"Along the water, no wind.", "First time with company.", "Went better than I thought.", "Rain, and it did not matter.",
		"Dog came along.", "New shoes.", "Could have gone on.", "Early, and nobody about.",
	})
}
