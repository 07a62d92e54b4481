package screening_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/screening"
)

const (
	fine  = screening.NotNeeded
	ask   = screening.Clearance
	leave = screening.StopAndClearance
)

// The decision table of the algorithm (Riebe D and others, Med Sci Sports Exerc
// 2015;47:2473–2479): the three inputs are found, the cells from memory. Each
// column is what a row asks for: yes, no, or any.
var table = []struct {
	active, disease, signs, vigorous string
	cleared                          string
	advice                           screening.Advice
}{
	{"no", "no", "no", "any", "any", fine},
	{"no", "yes", "no", "any", "any", ask},
	{"no", "any", "yes", "any", "any", ask},
	{"yes", "no", "no", "any", "any", fine},
	{"yes", "yes", "no", "no", "any", fine},
	{"yes", "yes", "no", "yes", "no", ask},
	{"yes", "yes", "no", "yes", "yes", fine},
	{"yes", "any", "yes", "any", "any", leave},
}

func matches(asked string, is bool) bool { return asked == "any" || (asked == "yes") == is }

func TestEveryCombinationStandsInOneRowOfTheTable(t *testing.T) {
	for n := range 32 {
		f := screening.Facts{Active: n&1 > 0, Disease: n&2 > 0, Signs: n&4 > 0, Vigorous: n&8 > 0, Cleared: n&16 > 0}
		rows := 0
		for _, row := range table {
			if matches(row.active, f.Active) && matches(row.disease, f.Disease) && matches(row.signs, f.Signs) &&
				matches(row.vigorous, f.Vigorous) && matches(row.cleared, f.Cleared) {
				rows++
				require.Equal(t, row.advice, f.Advice(), "%+v", f)
			}
		}
		require.Equal(t, 1, rows, "%+v", f)
	}
}

func TestTheFiveVectors(t *testing.T) {
	for _, v := range []struct {
		facts  screening.Facts
		advice screening.Advice
		why    string
	}{
		{screening.Facts{}, fine, "inactive, nothing known, no sign"},
		{screening.Facts{Disease: true}, ask, "inactive, diabetes"},
		{screening.Facts{Active: true, Disease: true}, fine, "active, diabetes, moderate"},
		{screening.Facts{Active: true, Disease: true, Vigorous: true}, ask, "active, diabetes, vigorous"},
		{screening.Facts{Active: true, Signs: true}, leave, "active, fainted"},
	} {
		require.Equal(t, v.advice, v.facts.Advice(), v.why)
	}
}

// The same through the questions, where what is intended is always vigorous.
func TestTheTableThroughTheQuestions(t *testing.T) {
	word := map[bool]string{true: "yes", false: "no"}
	list := map[bool]string{true: "diabetes2", false: "none"}
	sign := map[bool]string{true: "faint", false: "none"}
	for n := range 16 {
		f := screening.Facts{Active: n&1 > 0, Disease: n&2 > 0, Signs: n&4 > 0, Cleared: n&8 > 0, Vigorous: true}
		a := with(with(with(with(well(), screening.Active, word[f.Active]), screening.Disease, list[f.Disease]),
			screening.Signs, sign[f.Signs]), screening.Cleared, word[f.Cleared])
		r := screening.Assess(a, today)
		require.Equal(t, f.Advice(), r.Advice, "%+v", f)
		require.Equal(t, r.Advice == fine, len(r.Why) == 0, "%+v: a reason with every advice", f)
	}
}

// The nine signs and symptoms of the algorithm (found) are asked, each alone is
// enough, and each is named in the reason.
func TestEachOfTheNineSignsAsksForADoctor(t *testing.T) {
	signs := options(t, screening.Signs)
	require.Len(t, signs, 9+2, "and none of these, and not sure")
	for _, o := range signs {
		a := with(well(), screening.Signs, o.Value)
		still := screening.Assess(a, today)
		moving := screening.Assess(with(a, screening.Active, "yes"), today)
		if o.Value == screening.None {
			require.Equal(t, fine, still.Advice)
			continue
		}
		require.Equal(t, ask, still.Advice, o.Value)
		require.Equal(t, leave, moving.Advice, o.Value)
		if o.Value != screening.Unsure {
			require.Contains(t, still.Why[0], o.Words[1:], o.Value)
		}
	}
}

// Heart, vessels, brain, both kinds of diabetes and kidneys count; lungs alone are
// not asked for (found).
func TestEachKnownDiseaseCounts(t *testing.T) {
	var values []string
	for _, o := range options(t, screening.Disease) {
		values = append(values, o.Value)
		r := screening.Assess(with(well(), screening.Disease, o.Value), today)
		require.Equal(t, o.Value != screening.None, r.Advice == ask, o.Value)
	}
	require.Equal(t, []string{"heart", "vessels", "stroke", "diabetes1", "diabetes2", "kidneys", "none", "unsure"}, values)
}

func TestUnsureAndSilenceCountAsYes(t *testing.T) {
	for _, question := range []string{screening.Disease, screening.Signs, screening.Rhythm, screening.Expecting} {
		for _, values := range [][]string{{"unsure"}, nil, {" "}, {"none", "unsure"}, {"what?"}} {
			r := screening.Assess(with(well(), question, values...), today)
			require.Equal(t, ask, r.Advice, "%s %q", question, values)
			require.NotEmpty(t, r.Why)
		}
	}
	faint := with(well(), screening.Signs, "faint")
	require.Equal(t, leave, screening.Assess(with(faint, screening.Active, "unsure"), today).Advice, "the stricter of the two rows")
	require.Equal(t, leave, screening.Assess(with(faint, screening.Active), today).Advice)
	ill := with(with(well(), screening.Disease, "heart"), screening.Active, "yes")
	require.Equal(t, ask, screening.Assess(with(ill, screening.Cleared, "unsure"), today).Advice)
	require.Equal(t, fine, screening.Assess(with(ill, screening.Cleared, "yes"), today).Advice)
	require.Equal(t, ask, screening.Assess(with(with(ill, screening.Cleared, "yes"), screening.Active, "unsure"), today).Advice)
	require.Equal(t, leave, screening.Assess(nil, today).Advice, "nothing answered at all")
}

// The reasons say which row of the table it was.
func TestTheReasonsOfTheTable(t *testing.T) {
	ill := func(active, signs string) []string {
		return screening.Assess(with(with(with(well(), screening.Disease, "diabetes2"), screening.Active, active), screening.Signs, signs), today).Why
	}
	require.Equal(t, []string{"A known disease: diabetes type 2. Without regular training in the last three months a doctor should agree before it begins."}, ill("no", "none"))
	require.Equal(t, []string{"A known disease: diabetes type 2. Running is hard effort for most who begin, and no doctor has agreed to it within the last twelve months."}, ill("yes", "none"))
	require.Equal(t, []string{"A doctor should look first at: swollen ankles.", "A known disease: diabetes type 2."}, ill("yes", "ankles"))
	require.Equal(t, []string{"A doctor should look first at: swollen ankles; something not sure, which we take as a yes."},
		screening.Assess(with(well(), screening.Signs, "ankles", "unsure"), today).Why)
}

// Contradictions count as the more careful of the two.
func TestContradictionsAboutABirth(t *testing.T) {
	for _, values := range [][]string{{"born", "pregnant"}, {"born", "unsure"}, {"no", "pregnant"}} {
		r := screening.Assess(with(with(well(), screening.Expecting, values...), screening.BornWeeks, "40"), today)
		require.Equal(t, ask, r.Advice, "%q", values)
		require.Contains(t, r.Heart.Reasons[0].Words, "Pregnancy")
	}
	require.Equal(t, ask, screening.Assess(with(with(well(), screening.Expecting, "born"), screening.BornWeeks, "-1"), today).Advice)
}

// What is of the heart counts as a known disease though it was ticked elsewhere.
func TestConditionsOfTheHeartCountAsKnown(t *testing.T) {
	of := map[string][]string{
		screening.Rhythm:   {"fibrillation", "extra", "pacemaker", "defibrillator", "transplant", "slow", "nerves"},
		screening.Medicine: {"ivabradine", "digoxin", "amiodarone"},
	}
	for question, values := range of {
		for _, o := range options(t, question) {
			counts := slices.Contains(values, o.Value) || question == screening.Rhythm && o.Value == screening.Unsure
			r := screening.Assess(with(well(), question, o.Value), today)
			require.Equal(t, counts, r.Advice == ask, "%s %s", question, o.Value)
		}
	}
}

// Pregnancy, the first weeks after a birth and a fresh operation are rules of our
// own, and say so.
func TestOurOwnReasonsSaySo(t *testing.T) {
	for _, c := range []struct {
		question, value, weeks string
		advice                 screening.Advice
	}{
		{screening.Expecting, "no", "", fine},
		{screening.Expecting, "pregnant", "", ask},
		{screening.Expecting, "unsure", "", ask},
		{screening.Expecting, "born", "0", ask},
		{screening.Expecting, "born", "11", ask},
		{screening.Expecting, "born", "12", fine},
		{screening.Expecting, "born", "", ask},
		{screening.Expecting, "born", "some", ask},
		{screening.Operation, "recent", "", ask},
		{screening.Operation, "leg", "", fine},
	} {
		a := with(with(well(), c.question, c.value), screening.BornWeeks, c.weeks)
		r := screening.Assess(a, today)
		require.Equal(t, c.advice, r.Advice, "%s %s", c.value, c.weeks)
		if c.advice == ask {
			require.Contains(t, r.Why[0], "a rule of our own")
		}
		require.Equal(t, leave, screening.Assess(with(with(a, screening.Active, "yes"), screening.Signs, "chest"), today).Advice, "never milder than the table")
	}
}

func options(t *testing.T, question string) []screening.Option {
	t.Helper()
	for _, s := range screening.Sections(screening.Circumstances{Minors: true}) {
		for _, q := range s.Questions {
			if q.ID == question {
				return q.Options
			}
		}
	}
	t.Fatalf("%s is not asked", question)
	return nil
}
