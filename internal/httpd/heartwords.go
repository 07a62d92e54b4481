package httpd

import (
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
	"halfhour.app/halfhour/web/page"
)

// The words of heart-rate evidence.

// reasonWords say why the heart rate of a walk tells nothing.
func reasonWords(r trace.Reason) string {
	switch r {
	case trace.NotDone:
		return "It was left out."
	case trace.NotRecorded:
		return "It lies outside the recording."
	case trace.TooLittle:
		return "A usable heart rate for less than 80% of it."
	case trace.TooShort:
		return "It is shorter than 30 s."
	case trace.Unclear:
		return "The recording fits the plan in more than one way."
	case trace.NoCeiling:
		return "No easy ceiling was known."
	case trace.FollowsNoRun:
		return "It follows no run."
	}
	return "Nothing was read of it."
}

// doubtWords say why a walk with a share of its own decides nothing (rules 3.3 and
// 3.4).
func doubtWords(b *trace.Block) string {
	switch half := b.Valid; {
	case b.Planned < 90:
		return "walks under 1 min 30 are too short for the heart"
	case 2*b.EasyLow > half != (2*b.EasyHigh > half):
		return "another ceiling within its uncertainty would say otherwise"
	case b.Planned < 180 && b.State == trace.NotSettled:
		return "in walks under 3 min the heart lags, so it speaks only for"
	}
	return "not surely enough"
}

// artefactWords say what a sensor made up.
func artefactWords(k trace.ArtefactKind) string {
	switch k {
	case trace.Gap:
		return "Nothing written down"
	case trace.NoContact:
		return "No contact"
	case trace.Held:
		return "Stuck on one value"
	case trace.Spike:
		return "Jumps that no heart makes"
	case trace.CadenceLock:
		return "Steps taken for beats"
	}
	return "Not usable"
}

// alignmentWords say how the blocks were found, and where the session begins.
func alignmentWords(r *trace.Reading) string {
	words := map[trace.Alignment]string{
		trace.ByMarks: "By the marks of the guided session", trace.ByLaps: "By the laps of the recording", trace.BySpeed: "By speed or steps",
		trace.ByHeart: "By the heart rate itself", trace.ByPlan: "By the planned times alone, from the first second on: nothing better was there",
	}[r.By]
	if words == "" {
		words = "Not found"
	}
	switch {
	case r.Offset > 0:
		return words + "; the session begins " + pathway.Time(r.Offset) + " into the recording."
	case r.Offset < 0:
		return words + "; the recording begins " + pathway.Time(-r.Offset) + " into the session."
	}
	return words + "."
}

// offWords say why heart rate does not count; empty where it does (rule 4.4).
func offWords(seen *heart.Seen) string {
	switch {
	case seen.Usable:
		return ""
	case !seen.Athlete.HeartUsable:
		return "Heart rate does not count here, for a reason that was noted. A recording can be kept all the same; breath, talk and effort decide."
	}
	return "Heart rate does not count in this session, because it was hot. A recording can be kept all the same; breath, talk and effort decide."
}

// heartSentence sums up a recording beside its session.
func heartSentence(seen *heart.Seen) string {
	switch {
	case !seen.Usable:
		return offWords(seen)
	case seen.Mixed:
		return settledWords(seen) + " Heart and breath disagree: the session is mixed."
	}
	return settledWords(seen)
}

// mixedWords say in which walks breath and heart disagree.
func mixedWords(rows []page.Walk) string {
	var names []string
	for _, row := range rows {
		if row.Mixed {
			names = append(names, strings.TrimPrefix(row.Name, "Walk "))
		}
	}
	if len(names) == 0 {
		return ""
	}
	which := "walk " + names[0]
	if n := len(names); n > 1 {
		which = "walks " + strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return "Heart and breath disagree in " + which + ": both are shown, and the session is mixed. A strap that sits loose can do that, and so can a ceiling that is not measured yet."
}

// sourceWords say inside a sentence what a ceiling rests on.
func sourceWords(c intensity.Ceiling) string {
	switch c.Source {
	case intensity.FromTalkTest:
		return "a talk test"
	case intensity.FromReserve:
		return "a measured maximum and a resting rate"
	case intensity.FromMeasured:
		return "a measured maximum"
	case intensity.FromPredicted:
		return "a maximum predicted from the age"
	}
	return "nothing"
}

// sureWords say how surely a ceiling is known: one standard deviation, in which it
// lies in about two of three people.
func sureWords(c intensity.Ceiling) string {
	within := strconv.Itoa(int((c.SD + 500) / 1000))
	return "In two of three people it lies within " + within + " beats of that."
}

// formulaWords are the formulas of the predicted maximum.
func formulaWords(f intensity.Formula) string {
	switch f {
	case intensity.Fox:
		return "220 − age (Fox 1971)"
	case intensity.Tanaka:
		return "208 − 0.7 × age (Tanaka 2001)"
	case intensity.Gellish:
		return "207 − 0.7 × age (Gellish 2007)"
	case intensity.GellishQuadratic:
		return "192 − 0.007 × age² (Gellish 2007)"
	case intensity.Zhu:
		return "179 + 0.29 × age − 0.011 × age² (Zhu 2010, up to 50)"
	}
	return "211 − 0.64 × age (Nes 2013)"
}

// measuredWords name what was measured.
func measuredWords(k roster.MeasurementKind) string {
	switch k {
	case roster.TalkTested:
		return "Talk test"
	case roster.MaxMeasured:
		return "Measured maximum"
	case roster.MaxObserved:
		return "Maximum seen in a recording"
	case roster.RestMeasured:
		return "At rest"
	}
	return ""
}
