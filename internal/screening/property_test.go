package screening_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/screening"
)

// drawn are answers of any kind: complete and sound, with gaps, contradictions and
// values nobody offered.
func drawn(t *rapid.T) screening.Answers {
	a := screening.Answers{}
	for _, s := range screening.Sections(screening.Circumstances{Minors: true}) {
		for _, q := range s.Questions {
			values := []string{"", " ", "what?", "-1", "12", "1960", "1990", "95", "170", "99999999999999999999"}
			for _, o := range q.Options {
				values = append(values, o.Value)
			}
			a[q.ID] = rapid.SliceOfN(rapid.SampledFrom(values), 0, 3).Draw(t, q.ID)
		}
	}
	return a
}

func copied(a screening.Answers) screening.Answers {
	b := screening.Answers{}
	for id, values := range a {
		b[id] = slices.Clone(values)
	}
	return b
}

func TestMoreIsNeverMilder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawn(t)
		question := rapid.SampledFrom([]string{screening.Signs, screening.Disease, screening.Medicine, screening.Rhythm}).Draw(t, "question")
		values := map[string][]string{
			screening.Signs:    {"chest", "breath", "faint", "lying", "ankles", "palpitations", "calves", "murmur", "tired", "unsure"},
			screening.Disease:  {"heart", "vessels", "stroke", "diabetes1", "diabetes2", "kidneys", "unsure"},
			screening.Medicine: {"beta", "digoxin", "stimulant", "unsure"},
			screening.Rhythm:   {"fibrillation", "pacemaker", "transplant", "thyroid", "unsure"},
		}[question]
		more := copied(a)
		if len(more.Given(question)) > 0 { // silence counts as a yes already; to answer it may be milder
			more[question] = append(more[question], rapid.SampledFrom(values).Draw(t, "more"))
		}
		before, after := screening.Assess(a, today), screening.Assess(more, today)
		require.GreaterOrEqual(t, after.Advice, before.Advice)
		require.False(t, after.Heart.Usable && !before.Heart.Usable)
		require.GreaterOrEqual(t, len(after.Why), len(before.Why))
	})
}

func TestLoweringNeverRaisesAndLowersByOne(t *testing.T) {
	road := pathway.Default()
	rapid.Check(t, func(t *rapid.T) {
		s := screening.Assess(drawn(t), today).Start
		if s.Rule == "" {
			return
		}
		rule, phase := road.Find(s.Rule), road.Find(s.Phase)
		require.NotEqual(t, pathway.NoRung, phase)
		want := rule
		if s.Lower && rule > 0 {
			want = rule.Below(1)
		}
		require.Equal(t, want, phase)
		require.NotEmpty(t, s.Reasons)
		for _, reason := range s.Reasons {
			require.NotRegexp(t, `(?i)\byours?\b|\byou\b`, reason, "a coach reads it, of somebody else")
		}
	})
}

func TestAnyAnswersAreAssessed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawn(t)
		on := day.Date(rapid.Int32Range(-1000, 1_000_000).Draw(t, "on"))
		r := screening.Assess(a, on)
		require.Equal(t, r.Advice != screening.NotNeeded, len(r.Why) > 0, "an advice and its reason go together")
		require.Equal(t, r.Heart.Usable, len(r.Heart.Reasons) == 0)
		require.Equal(t, r, screening.Assess(screening.Tidy(a), on), "tidied answers say the same")
		for _, line := range slices.Concat(r.Why, r.Cautions, r.Start.Reasons, r.Injuries, r.Bone) {
			require.NotEmpty(t, strings.TrimSpace(line))
			require.NotContains(t, line, "!")
		}
	})
}

// What Check takes, Assess finds nothing unanswered in.
func TestCheckedAnswersLeaveNothingOpen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := well()
		for _, s := range screening.Sections(screening.Circumstances{}) {
			for _, q := range s.Questions {
				if q.Kind == screening.One || q.Kind == screening.Many {
					a[q.ID] = []string{rapid.SampledFrom(q.Options).Draw(t, q.ID).Value}
				}
			}
		}
		a[screening.BornWeeks] = []string{"4"}
		require.Empty(t, screening.CheckAll(screening.Circumstances{}, a, today))
		r := screening.Assess(a, today)
		for _, line := range slices.Concat(r.Why, r.Injuries, r.Bone) {
			require.NotContains(t, line, "not answered")
			require.NotContains(t, line, "cannot be read")
		}
	})
}

func FuzzCheckAndAssess(f *testing.F) {
	f.Add(screening.Health, screening.Signs, "chest", int32(today))
	f.Add(screening.You, screening.BirthYear, "99999999999999999999", int32(0))
	f.Add("nowhere", "zodiac", "\xff", int32(-5))
	f.Add(screening.Pregnancy, screening.Expecting, "born", int32(today))
	f.Fuzz(func(t *testing.T, section, question, value string, on int32) {
		a := with(well(), question, value)
		for _, c := range []screening.Circumstances{{}, {Fresh: true}, {Minors: true}} {
			for _, found := range screening.Check(c, section, a, day.Date(on)) {
				require.NotEmpty(t, found.Message)
			}
		}
		r := screening.Assess(a, day.Date(on))
		if r.Advice == screening.NotNeeded {
			require.Empty(t, r.Why)
		}
		if value != "" && strings.TrimSpace(value) == value && question == screening.Signs && value != screening.None {
			require.NotEqual(t, screening.NotNeeded, r.Advice)
		}
	})
}
