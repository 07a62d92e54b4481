package page

import (
	"strconv"

	"halfhour.app/halfhour/web/part"
)

// TalkTest is one page of the guided talk test: the one before it, a stage, or
// its end. Fields: key, well, rate[i] and talk[i] (hidden: the stages behind),
// rate, talk (of this stage), do (next or keep).
type TalkTest struct {
	Phone    part.Phone
	Action   string
	Key      string
	Back     string   // leaves it
	Off      []string // not offered, and why; empty: it is
	OffTitle string
	Stage    *TalkStage // nil: before, or the end
	Result   *TalkResult
	Behind   []StageBehind
	Errors   part.Errors
	Mistakes []part.Mistake
}

// TalkStage is the stage to walk or run now.
type TalkStage struct {
	Number int // from 1
	Of     int
	Name   string // "Brisk walk"
	How    string // what to do for two minutes
	Rate   string // as typed
	Talk   string // chat, sentence or words
}

// StageBehind is a stage that is over.
type StageBehind struct {
	Name   string
	Rate   string // "118"
	Talk   string // chat, as sent
	Answer string // "comfortably"
}

// TalkResult is what the test came to.
type TalkResult struct {
	BPM   string   // empty: there is no ceiling
	Title string   // "Your easy ceiling: 132"
	Words []string // what it does, or why there is none
}

// Passage is what is read aloud at the end of a stage: sixty to eighty words, so
// that it takes half a minute, since shorter speech passes too easily (evidence of
// talk tests with one, two and three repetitions of 31 words; found as an
// abstract). It is our own.
const Passage = "The kettle was on before the street woke up. A neighbour wheeled her bicycle past the window and waved with two fingers, " +
	"because the others held a loaf of bread. It had rained in the night, and every roof was drying in its own time. " +
	"By eight the dog from the corner house had found the one warm step, and lay there as if it had been built for him."

// stageField is the name of a field of the i-th stage behind, such as rate[2].
func stageField(what string, i int) string { return what + "[" + strconv.Itoa(i) + "]" }

// talkAnswers are the answers at the end of a stage.
func talkAnswers() []part.Option {
	return []part.Option{
		{Value: "chat", Words: "Yes, comfortably"},
		{Value: "sentence", Words: "Yes, but I had to catch my breath"},
		{Value: "words", Words: "No"},
	}
}
