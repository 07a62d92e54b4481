package screening_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/screening"
)

// can are starting answers: short of breath, endurance training, half an hour's
// walk, minutes of running, alternating.
func can(breathless, endurance, walks, runs, alternates string) screening.Answers {
	a := with(with(well(), screening.Breathless, breathless), screening.Endurance, endurance)
	return with(with(with(a, screening.WalksHalf, walks), screening.RunsFew, runs), screening.Alternates, alternates)
}

// Every row of the rule book (where a newcomer starts; ours), plain and lowered for
// each reason and for all of them.
func TestWhereANewcomerStarts(t *testing.T) {
	heavy := func(a screening.Answers) screening.Answers { return with(a, screening.Weight, "95") }
	old := func(a screening.Answers) screening.Answers { return with(a, screening.BirthYear, "1960") }
	hurt := func(a screening.Answers) screening.Answers { return with(a, screening.Injuries, "ankle") }
	for _, c := range []struct {
		answers      func() screening.Answers
		rule, lower  string
		reason, when string
	}{
		{func() screening.Answers { return can("yes", "yes", "yes", "yes", "yes") }, "B1", "B1", "short of breath", "short of breath outranks everything"},
		{func() screening.Answers { return can("unsure", "yes", "yes", "no", "no") }, "B1", "B1", "short of breath", "unsure counts as yes"},
		{func() screening.Answers { return can("no", "no", "yes", "yes", "no") }, "B1", "B1", "No regular training", "no endurance training"},
		{func() screening.Answers { return can("no", "unsure", "yes", "yes", "no") }, "B1", "B1", "No regular training", "unsure counts as no"},
		{func() screening.Answers { return can("no", "yes", "no", "no", "no") }, "B1", "B1", "not easy yet", "nothing the rules build on"},
		{func() screening.Answers { return can("no", "yes", "yes", "no", "no") }, "L1", "B4", "half an hour with ease", "into the stage below"},
		{func() screening.Answers { return can("no", "yes", "yes", "unsure", "no") }, "L1", "B4", "half an hour with ease", "unsure of running"},
		{func() screening.Answers { return can("no", "yes", "yes", "yes", "no") }, "L2", "L1", "few minutes", "runs a few minutes"},
		{func() screening.Answers { return can("no", "yes", "yes", "yes", "yes") }, "R1", "L4", "in turn already", "alternates"},
		{func() screening.Answers { return can("no", "yes", "no", "no", "yes") }, "R1", "L4", "in turn already", "the hardest thing that one can"},
	} {
		plain := screening.Assess(c.answers(), today).Start
		require.Equal(t, c.rule, plain.Phase, c.when)
		require.False(t, plain.Lower, c.when)
		require.Len(t, plain.Reasons, 1, c.when)
		require.Contains(t, plain.Reasons[0], c.reason, c.when)
		for reason, lowered := range map[string]screening.Answers{
			"over 30":            heavy(c.answers()),
			"over 50":            old(c.answers()),
			"A leg was hurt":     hurt(c.answers()),
			"body mass index is": heavy(old(hurt(c.answers()))),
		} {
			s := screening.Assess(lowered, today).Start
			require.Equal(t, c.rule, s.Rule, c.when)
			require.Equal(t, c.lower, s.Phase, "%s, %s: once", c.when, reason)
			require.True(t, s.Lower)
			require.Contains(t, s.Reasons[1], reason)
		}
	}
}

func TestWhichInjuriesAreOfALeg(t *testing.T) {
	for _, o := range options(t, screening.Injuries) {
		s := screening.Assess(with(well(), screening.Injuries, o.Value), today).Start
		require.Equal(t, o.Value != "back" && o.Value != "none", s.Lower, o.Value)
	}
	for value, lower := range map[string]bool{"leg": true, "back": false, "recent": false, "none": false, "unsure": true} {
		require.Equal(t, lower, screening.Assess(with(well(), screening.Operation, value), today).Start.Lower, value)
	}
}

func TestNoStartWhereNothingWasAsked(t *testing.T) {
	a := can("", "", "", "", "")
	require.Zero(t, screening.Assess(a, today).Start)
	require.Empty(t, screening.Start{}.On(pathway.Default()))
}

// On an edited pathway the start is the last phase that asks no more of running
// than the rule book's own.
func TestStartOnAnEditedPathway(t *testing.T) {
	road := func(sessions ...string) *pathway.Pathway {
		p := &pathway.Pathway{}
		for i, s := range sessions {
			blocks, err := pathway.Parse(s)
			require.NoError(t, err)
			p.Phases = append(p.Phases, pathway.Phase{ID: string(rune('a' + i)), Stage: "all", Blocks: blocks})
		}
		return p
	}
	fine := road("walk 10:00", "walk 15:00", "walk 30:00", "6x(run 0:30, walk 4:30)", "6x(run 1:00, walk 4:00)", "6x(run 1:30, walk 3:30)", "5x(run 3:00, walk 3:00)", "run 30:00")
	for _, c := range []struct {
		road    *pathway.Pathway
		rule    string
		lower   bool
		at, why string
	}{
		{fine, "B1", false, "b", "the longest walk of a quarter of an hour"},
		{fine, "B1", true, "a", "an easier one is there"},
		{fine, "L1", false, "e", "six minutes in all"},
		{fine, "L1", true, "d", ""},
		{fine, "L2", false, "f", ""},
		{fine, "R1", false, "g", ""},
		{road("walk 20:00", "run 30:00"), "R1", true, "a", "never below the first"},
		{road("run 20:00", "run 30:00"), "B1", false, "a", "harder than asked, but there is nothing easier"},
		{road("walk 20:00", "run 5:00", "6x(run 1:00, walk 4:00)"), "L1", false, "a", "one run of five minutes lies before it"},
		{road("walk 45:00", "walk 60:00", "run 30:00"), "L1", false, "b", "walks of any length may stand before runs"},
		{road("walk 15:00", "walk 30:00"), "L1", false, "b", "a pathway of walks alone ends with its last"},
		{&pathway.Pathway{}, "L1", false, "", "no phases"},
		{nil, "L1", false, "", "no pathway"},
	} {
		require.Equal(t, c.at, screening.Start{Rule: c.rule, Lower: c.lower}.On(c.road), "%s lower %v: %s", c.rule, c.lower, c.why)
	}
	for _, id := range []string{"B1", "L1", "L2", "R1"} {
		require.Equal(t, id, screening.Start{Rule: id}.On(pathway.Default()), "on the default pathway it is itself")
	}
}
