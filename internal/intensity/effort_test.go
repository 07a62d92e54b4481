package intensity_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/intensity"
)

// The anchors of the modified CR10 scale (Foster and others, J Strength Cond Res
// 2001;15:109–115), found in a copy of the table.
func TestAnchorsOfTheScale(t *testing.T) {
	want := map[intensity.Effort]string{
		0: "rest", 1: "very, very easy", 2: "easy", 3: "moderate", 4: "somewhat hard", 5: "hard", 7: "very hard", 10: "maximal",
	}
	for e := intensity.Effort(-2); e <= 13; e++ {
		require.Equal(t, want[e], e.Anchor(), "effort %d", e)
		require.Equal(t, e >= 0 && e <= 10, e.Valid(), "effort %d", e)
		require.Equal(t, e.Valid(), e.Words() != "", "every number on the scale can be said")
	}
	require.Equal(t, "between hard and very hard", intensity.Effort(6).Words())
	require.Equal(t, "between very hard and maximal", intensity.Effort(9).Words())
	require.Equal(t, "moderate", intensity.Effort(3).Words())
}

func TestTalkAnswersHaveTheNamesOfDocuments(t *testing.T) {
	for i, name := range []string{"chat", "sentence", "words"} {
		talk, ok := intensity.ParseTalk(name)
		require.True(t, ok)
		require.Equal(t, intensity.Talk(i+1), talk)
		require.Equal(t, name, talk.String())
	}
	for _, name := range []string{"", "Chat", "song"} {
		_, ok := intensity.ParseTalk(name)
		require.False(t, ok, name)
	}
	require.Empty(t, intensity.NoTalk.String())
}

func TestTalkTestEndsAtTheLastComfortableStage(t *testing.T) {
	const chat, sentence, words = intensity.Chat, intensity.Sentence, intensity.Words
	for _, c := range []struct {
		stages []intensity.Stage
		want   intensity.BPM
		ok     bool
		why    string
	}{
		{[]intensity.Stage{{112, chat}, {126, chat}, {138, sentence}, {150, words}}, 126, true, "the last before it was doubtful"},
		{[]intensity.Stage{{112, chat}, {126, words}}, 112, true, "no doubtful stage between"},
		{[]intensity.Stage{{112, chat}, {126, sentence}, {130, chat}, {140, words}}, 112, true, "comfort that came back does not count"},
		{[]intensity.Stage{{112, chat}, {126, chat}}, 0, false, "stopped too early: the ceiling lies somewhere above"},
		{[]intensity.Stage{{130, sentence}, {140, words}}, 0, false, "never comfortable"},
		{[]intensity.Stage{{112, chat}, {0, chat}, {138, words}}, 0, false, "no heart rate at that stage"},
		{[]intensity.Stage{{112, chat}, {126, intensity.NoTalk}, {138, words}}, 0, false, "a stage nobody answered"},
		{nil, 0, false, "no test"},
	} {
		got, ok := intensity.LastComfortable(c.stages)
		require.Equal(t, c.ok, ok, c.why)
		if ok {
			require.Equal(t, c.want, got, c.why)
		}
	}
}
