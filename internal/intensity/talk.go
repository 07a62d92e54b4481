package intensity

// Talk is how well somebody could speak at a stage of a talk test, or in the last
// run of a session.
type Talk uint8

// The answers. Speaking in comfort ends at about the first ventilatory threshold;
// where it is doubtful both are near each other, in healthy adults (Persinger R and
// others, Med Sci Sports Exerc 2004;36:1632–1636, found as an abstract). A talk
// test errs towards passing (Foster C and others, J Cardiopulm Rehabil Prev
// 2008;28:24–30, found as an abstract).
const (
	NoTalk   Talk = iota // not asked
	Chat                 // in comfort: below the threshold
	Sentence             // one sentence, then a breath: near it
	Words                // single words: above it
)

var talkNames = [...]string{"", "chat", "sentence", "words"}

// String is the answer's name in documents; empty when not asked.
func (t Talk) String() string { return talkNames[t] }

// ParseTalk reads a name as documents have it; ok is false for any other text.
func ParseTalk(name string) (t Talk, ok bool) {
	for i, known := range talkNames {
		if known == name && i > 0 {
			return Talk(i), true
		}
	}
	return NoTalk, false
}

// Stage is one stage of a talk test, each harder than the one before: the heart
// rate at its end and the answer given there.
type Stage struct {
	Rate BPM
	Talk Talk
}

// LastComfortable is the heart rate of the last stage at which talking was a chat,
// before the first at which it was not: the talk-test measurement of rule 4.1. ok
// is false where the test never left comfort, since its ceiling is then unknown,
// where it began outside, or where that stage has no heart rate.
func LastComfortable(stages []Stage) (rate BPM, ok bool) {
	for _, stage := range stages {
		if stage.Talk != Chat {
			return rate, stage.Talk != NoTalk && rate > 0
		}
		rate = stage.Rate
	}
	return 0, false
}
