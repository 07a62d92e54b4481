package page

import (
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/web/part"
)

// After is the form for a session, new or to be corrected. Its fields are in the
// package's comment.
type After struct {
	Phone     part.Phone
	Kind      string // planned, extra, strength or other
	Title     string // "How was it?", "Correct Sunday's session"
	Action    string
	Key       string
	Version   string // of the session that is corrected; empty: a new one
	Phase     string // hidden: the phase of a planned session
	Plan      string // "run 2 min, walk 3 min, six times"; planned only
	Date      string // 2026-04-14
	Clock     string // 07:10
	DateMin   string // bounds of the date field
	DateMax   string
	Done      string // all, part, pain, missed or called_off; empty: not picked
	Until     string // how many blocks were done in full, of a session cut short
	Blocks    []Block
	Ran       string // extra: walk, run or both
	Minutes   string // extra, strength, other
	Run       string // extra: minutes of running in all
	Longest   string // extra: minutes of the longest run in one go
	Effort    string // "0" to "10"
	Talk      string // chat, sentence or words
	Breath    string // early, half or late
	AskTalk   bool   // there were runs to talk in
	AskBreath bool   // there are walks after runs
	Pain      string // none or some; empty: not picked
	Pairs     []Pair
	Others    []PainField // back, and what was typed
	Mornings  []PainField // the morning after, of a session corrected later
	Limp      bool
	Hot       bool
	HotWhy    string // why it is ticked by itself; empty: it is not
	AskAround bool   // a run or walk, with a warm-up or a cool-down
	WarmUp    string // done or skipped; empty: not told
	CoolDown  string
	Signs     []Sign
	Note      string
	Errors    part.Errors
	Mistakes  []part.Mistake
	Sets      string      // address of the page that corrects the sets of strength; empty: none
	Delete    string      // address of the page that deletes; empty: a new session
	Other     []part.Link // other kinds of session
}

// Block is one run or walk of the form, in order.
type Block struct {
	Word    string // "Run 1", "Walk 3"
	Kind    string // run or walk
	Planned string // "2 min"
	Seconds string // planned, as a number: sent back hidden
	Min     string // minutes done, as typed
	Sec     string // seconds done, as typed
	Settle  string // seconds until the breath was back, as typed
	Judged  bool   // a walk after a run: asks for Settle
}

// Pair is a place that is there twice.
type Pair struct {
	Name        string // "Shin"
	Left, Right PainField
}

// PainField asks how much a place hurt. N is its number in the names of the
// fields: pain[N].site, pain[N].score; pain[N].next_morning in Mornings.
type PainField struct {
	N     int
	Site  string // "left shin", as sent
	Label string // "Left shin"
	Value string // "0" to "10"; empty: nothing
	Free  bool   // Site is typed
}

// Sign is one warning sign in plain words.
type Sign struct {
	Value string // chest_pressure, …
	Words string // "Pressure or pain in the chest"
	On    bool
	Bone  bool // one that speaks of a bone
}

// sides are the places that are there twice, in the order of the form.
var sides = [...]string{"shin", "knee", "ankle", "foot", "hip", "calf", "Achilles"}

// back is the one place of the list that is there once.
const back = "back"

// Places gives the fields for pain: the common places, and what was reported
// elsewhere. Scores are by site, as stored: "left shin".
func Places(scores map[string]string) ([]Pair, []PainField) {
	left := make(map[string]string, len(scores))
	for site, score := range scores {
		left[site] = score
	}
	n := 0
	next := func(site, label string) PainField {
		f := PainField{N: n, Site: site, Label: label, Value: left[site]}
		delete(left, site)
		n++
		return f
	}
	pairs := make([]Pair, 0, len(sides))
	for _, place := range sides {
		pairs = append(pairs, Pair{
			Name: capital(place),
			Left: next("left "+place, "Left "+place), Right: next("right "+place, "Right "+place),
		})
	}
	others := []PainField{next(back, "Back")}
	for _, site := range sorted(left) {
		f := next(site, "Somewhere else")
		f.Free = true
		others = append(others, f)
	}
	f := next("", "Somewhere else")
	f.Free = true
	return pairs, append(others, f)
}

// Name is the name of a field of the place, such as pain[3].score.
func (f PainField) Name(what string) string {
	return "pain[" + strconv.Itoa(f.N) + "]." + what
}

// efforts are the words at the marks of the scale of effort, 0 to 10: the
// category-ratio scale as it is used for whole sessions (Foster and others,
// J Strength Cond Res 2001;15:109–115; from memory).
var efforts = [11]string{
	"rest", "very, very easy", "easy", "moderate", "somewhat hard", "hard", "", "very hard", "", "", "maximal",
}

// CommonSigns are the warning signs in plain words, by their names in documents.
func CommonSigns() []Sign {
	return []Sign{
		{Value: "chest_pressure", Words: "Pressure or pain in the chest"},
		{Value: "faint", Words: "I fainted, or nearly"},
		{Value: "breathless", Words: "Breathless far beyond the effort"},
		{Value: "palpitations", Words: "Heart racing or stumbling, and I felt unwell"},
		{Value: "heat_confusion", Words: "Confused in the heat"},
		{Value: "one_sided_weakness", Words: "Weak or numb on one side"},
		{Value: "calf_swelling", Words: "A calf hot and swollen"},
		{Value: "night_pain", Words: "Pain at night or at rest", Bone: true},
		{Value: "bone_tender", Words: "One spot of bone sore to touch", Bone: true},
		{Value: "hop_pain", Words: "Pain when hopping on that leg", Bone: true},
		{Value: "groin_deep", Words: "Pain deep in the groin", Bone: true},
	}
}

// Efforts are the words at the marks of the scale of effort, from 0 to 10.
func Efforts() []string { return efforts[:] }

// block is the name of a field of the i-th block, such as blocks[2].done_min.
func block(i int, what string) string { return "blocks[" + strconv.Itoa(i) + "]." + what }

// lower is the block inside a sentence: "run 3".
func (b Block) lower() string { return strings.ToLower(b.Word) }

// asked says which score is asked for.
func (f PainField) asked(what string) string {
	label := f.Label
	if what == "next_morning" {
		return label + ", the morning after, 0 to 10"
	}
	return label + ", pain 0 to 10"
}

// minutesField asks for a number of minutes.
func minutesField(v After, name, label, value string) part.Field {
	return part.Field{Name: name, Label: label, Value: value, Error: v.Errors.At(name), Mode: "numeric", Auto: "off", Length: 3, Unit: "min"}
}

// doneWrong is what is wrong with what was done.
func (v After) doneWrong() string {
	return first(v.Errors.At("done"), v.Errors.At("outcome"), v.Errors.At("phase"), v.Errors.At("minutes"))
}

// blocksOpen says that there is something to look at in single blocks.
func (v After) blocksOpen() bool {
	for place := range v.Errors {
		if strings.HasPrefix(place, "blocks") {
			return true
		}
	}
	return v.Version != "" && (v.Done == "part" || v.Done == "pain")
}

// signsOpen says that a sign is ticked or something is wrong with them.
func (v After) signsOpen() bool {
	for _, s := range v.Signs {
		if s.On {
			return true
		}
	}
	return v.Errors.At("signs") != ""
}

// button says what the form does.
func (v After) button() string {
	if v.Version != "" {
		return "Keep the correction"
	}
	return "That was it"
}

// talking asks how talking went: in the runs, or on a walk without one (rule 5.3).
func (v After) talking() string {
	if v.Kind == "planned" && !slices.ContainsFunc(v.Blocks, func(b Block) bool { return b.Kind == "run" }) {
		return "While walking, could you talk?"
	}
	return "While running, could you talk?"
}
