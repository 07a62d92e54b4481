package screening_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/screening"
)

var today = day.On(2026, time.April, 14)

// well are complete answers of somebody of 40 whom nothing ails.
func well() screening.Answers {
	return screening.Answers{
		screening.BirthYear: {"1986"}, screening.Height: {"170"}, screening.Weight: {"70"},
		screening.Active: {"no"}, screening.Disease: {"none"}, screening.Cleared: {"no"}, screening.Signs: {"none"},
		screening.Medicine: {"none"}, screening.Rhythm: {"none"}, screening.Expecting: {"no"},
		screening.Injuries: {"none"}, screening.HurtsNow: {"no"}, screening.Operation: {"none"}, screening.Bone: {"none"},
		screening.Sessions: {"3"}, screening.Times: {"monday-morning", "saturday-midday"}, screening.Resting: {"62"},
		screening.Daily: {"mixed"}, screening.Breathless: {"no"}, screening.Endurance: {"yes"}, screening.WalksHalf: {"yes"},
		screening.RunsFew: {"no"}, screening.Alternates: {"no"},
	}
}

// with changes one answer; no values take it away.
func with(a screening.Answers, question string, values ...string) screening.Answers {
	if len(values) == 0 {
		delete(a, question)
	} else {
		a[question] = values
	}
	return a
}

func TestCompleteAnswersAreTaken(t *testing.T) {
	require.Empty(t, screening.CheckAll(screening.Circumstances{}, well(), today))
	require.Empty(t, screening.CheckAll(screening.Circumstances{Fresh: true}, well(), today), "what was answered before may still be there")
}

func TestEverySectionIsCheckedAtItsFields(t *testing.T) {
	many := strings.Repeat("x", screening.TextLength+1)
	for _, c := range []struct {
		section, question string
		values            []string
		fine              bool
		why               string
	}{
		{screening.You, screening.BirthYear, nil, false, "the age decides about the start"},
		{screening.You, screening.BirthYear, []string{"1899"}, false, "nobody is as old"},
		{screening.You, screening.BirthYear, []string{"2027"}, false, "still to come"},
		{screening.You, screening.BirthYear, []string{"2009"}, false, "17 this year: not an adult yet"},
		{screening.You, screening.BirthYear, []string{"2008"}, true, "18 this year"},
		{screening.You, screening.BirthYear, []string{"86"}, false, "two figures are no year"},
		{screening.You, screening.BirthYear, []string{"1986", "1987"}, false, "one year"},
		{screening.You, screening.BirthYear, []string{" 1986 "}, true, "blanks around it do no harm"},
		{screening.You, screening.Height, nil, true, "if they like"},
		{screening.You, screening.Height, []string{"1.70"}, false, "centimetres"},
		{screening.You, screening.Height, []string{"119"}, false, "too small to be meant"},
		{screening.You, screening.Weight, []string{"301"}, false, "too heavy to be meant"},
		{screening.You, screening.Weight, []string{"30"}, true, "the least"},
		{screening.Health, screening.Active, nil, false, "an input of the algorithm"},
		{screening.Health, screening.Active, []string{"perhaps"}, false, "no option"},
		{screening.Health, screening.Active, []string{"yes", "no"}, false, "one answer"},
		{screening.Health, screening.Disease, nil, false, "silence is not none"},
		{screening.Health, screening.Disease, []string{"  "}, false, "blank is silence"},
		{screening.Health, screening.Signs, []string{"chest", "faint"}, true, "several"},
		{screening.Health, screening.Signs, []string{"chest", "none"}, false, "not both"},
		{screening.Health, screening.Signs, []string{"chest", "unsure"}, true, "sure of one, unsure of others"},
		{screening.Health, screening.Signs, []string{"chest", "chest"}, false, "twice"},
		{screening.Pregnancy, screening.Expecting, []string{"born"}, false, "then the weeks are asked"},
		{screening.Injury, screening.InjuryText, []string{many}, false, "too long"},
		{screening.Injury, screening.InjuryText, []string{"a\x00b"}, false, "cannot be shown"},
		{screening.Injury, screening.InjuryText, []string{"two\nlines"}, true, "lines are fine"},
		{screening.Training, screening.Sessions, []string{"7"}, false, "two to six"},
		{screening.Training, screening.Sessions, []string{"6"}, true, "two to six"},
		{screening.Training, screening.Times, []string{"monday-night"}, false, "no such time"},
		{screening.Training, screening.Times, nil, true, "may be left open"},
		{screening.Training, screening.Resting, []string{"29"}, false, "too low to be one"},
		{screening.Beginning, screening.Alternates, nil, false, "asked of everybody"},
	} {
		faults := screening.Check(screening.Circumstances{}, c.section, with(well(), c.question, c.values...), today)
		require.Equal(t, c.fine, len(faults) == 0, "%s %q: %s", c.question, c.values, c.why)
		for _, f := range faults {
			require.NotEmpty(t, f.Message)
			if c.question != screening.Expecting {
				require.Equal(t, c.question, f.Place)
			}
		}
	}
}

func TestFaultsSayWhatIsMissing(t *testing.T) {
	for _, c := range []struct {
		section, question string
		values            []string
		words             string
	}{
		{screening.You, screening.BirthYear, nil, "a number"},
		{screening.Health, screening.Active, nil, "choose an answer"},
		{screening.Health, screening.Signs, nil, "or that none of them is"},
		{screening.You, screening.Weight, []string{"301"}, "from 30 to 300"},
		{screening.You, screening.BirthYear, []string{"2027"}, "from 1900 to 2026"},
		{screening.You, screening.BirthYear, []string{"2010"}, "made for adults"},
	} {
		faults := screening.Check(screening.Circumstances{}, c.section, with(well(), c.question, c.values...), today)
		require.Len(t, faults, 1, c.question)
		require.Contains(t, faults[0].Message, c.words)
	}
	require.Empty(t, screening.Check(screening.Circumstances{}, screening.You, with(well(), screening.Weight, "300"), today), "the most")
	require.Empty(t, screening.Check(screening.Circumstances{}, screening.Injury, with(well(), screening.InjuryText, strings.Repeat("ü", screening.TextLength)), today), "the most")
	require.NotContains(t, screening.Tidy(screening.Answers{screening.Weight: {" "}}), screening.Weight)
}

func TestAQuestionThatIsNotAskedIsNotLookedAt(t *testing.T) {
	a := with(well(), screening.BornWeeks, "a while")
	require.Empty(t, screening.Check(screening.Circumstances{}, screening.Pregnancy, a, today))
	require.NotContains(t, screening.Tidy(a), screening.BornWeeks, "nor kept")
	a = with(a, screening.Expecting, "born")
	require.Equal(t, screening.BornWeeks, screening.Check(screening.Circumstances{}, screening.Pregnancy, a, today)[0].Place)
	require.Contains(t, screening.Tidy(a), screening.BornWeeks)
}

func TestWhatIsNoQuestionIsRefusedAtItsName(t *testing.T) {
	a := with(with(well(), "zodiac", "lion"), "shoe", "44")
	faults := screening.Check(screening.Circumstances{}, screening.You, a, today)
	require.Len(t, faults, 2)
	require.Equal(t, "shoe", faults[0].Place)
	require.Equal(t, "zodiac", faults[1].Place)
	faults = screening.Check(screening.Circumstances{Fresh: true}, screening.You, well(), today)
	require.Equal(t, screening.You, faults[0].Place, "no such page in a fresh check")
}

func TestMinorsAnswerWithTheirGuardianWhereTheClubTakesThem(t *testing.T) {
	minors := screening.Circumstances{Minors: true}
	young := func() screening.Answers { return with(well(), screening.BirthYear, "2010") }
	require.Equal(t, screening.BirthYear, screening.Check(screening.Circumstances{}, screening.You, young(), today)[0].Place)
	require.Equal(t, screening.Guardian, screening.Check(minors, screening.You, young(), today)[0].Place)
	require.Empty(t, screening.Check(minors, screening.You, with(young(), screening.Guardian, "Ana Brandt"), today))
	require.Empty(t, screening.Check(minors, screening.You, well(), today), "grown-ups answer alone")
}

func TestEveryQuestionIsReady(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range screening.Sections(screening.Circumstances{Minors: true}) {
		for _, text := range []string{s.ID, s.Title, s.Intro, s.Seen} {
			require.NotEmpty(t, text, s.ID)
			require.NotContains(t, text, "!")
		}
		before := map[string]bool{}
		for _, q := range s.Questions {
			require.False(t, seen[q.ID], "%s is asked twice", q.ID)
			seen[q.ID], before[q.ID] = true, true
			require.NotEmpty(t, q.Label, q.ID)
			require.Equal(t, q.Kind == screening.One || q.Kind == screening.Many || q.Kind == screening.Days, len(q.Options) > 1, q.ID)
			if q.OnlyIf.Question != "" {
				require.True(t, before[q.OnlyIf.Question], "%s hangs on what was not asked before it", q.ID)
			}
			values := map[string]bool{}
			for _, o := range q.Options {
				require.NotEmpty(t, o.Words)
				require.False(t, values[o.Value], "%s twice in %s", o.Value, q.ID)
				values[o.Value] = true
			}
			if q.Kind == screening.Many {
				require.True(t, values[screening.None] && values[screening.Unsure], q.ID)
			}
		}
	}
}

func TestAFreshCheckAsksForHealthAlone(t *testing.T) {
	var ids []string
	for _, s := range screening.Sections(screening.Circumstances{Fresh: true, Minors: true}) {
		ids = append(ids, s.ID)
	}
	require.Equal(t, []string{screening.Health, screening.HeartRate, screening.Pregnancy, screening.Injury, screening.Bones}, ids)
}

func TestSevenDaysOfThreeParts(t *testing.T) {
	for _, s := range screening.Sections(screening.Circumstances{}) {
		for _, q := range s.Questions {
			if q.Kind != screening.Days {
				continue
			}
			require.Len(t, q.Options, len(screening.Weekdays())*len(screening.Parts()))
			require.Equal(t, []string{"Monday morning", "Saturday midday"}, q.Said(well()))
		}
	}
}
