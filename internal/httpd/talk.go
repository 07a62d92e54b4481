package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// talkStages are the stages of the guided talk test, two minutes each: shorter ones
// would end before speech fails (Foster 2008, found as an abstract). The ladder is
// ours.
var talkStages = [...]struct{ name, how string }{
	{"Easy walk", "Walk for two minutes as you would with a friend who has time."},
	{"Brisk walk", "Walk for two minutes as if you were a little late."},
	{"As fast as you can walk", "Walk as fast as you can for two minutes, without running."},
	{"Slow jog", "Jog for two minutes, hardly quicker than you just walked."},
	{"Jog", "Jog for two minutes at the ease of your usual runs."},
	{"Quicker jog", "Jog for two minutes, a little quicker than your usual runs."},
}

// Bounds of a heart rate that is typed in, in beats a minute: those of a talk test
// in the rule book's documents.
const lowestTyped, highestTyped = 60, 220

// talkPage is what comes before the guided talk test.
func (s *server) talkPage(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	return s.showTalk(w, r, http.StatusOK, b, &form{}, nil, false)
}

// talkStep takes in a page of the test and shows the next one. Nothing is stored
// before the end: the stages behind travel with the form.
func (s *server) talkStep(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	f, key, err := keyedForm(r)
	if err != nil {
		return err
	}
	stages, sound := stagesBehind(f)
	if !sound {
		return errStale()
	}
	switch {
	case !f.ticked("well"):
		f.wrong("well", "please tick this first, or leave the test for another day")
		return s.showTalk(w, r, http.StatusUnprocessableEntity, b, f, nil, false)
	case f.text("do") == "keep":
		err := s.Heart.TalkTest(r.Context(), actorOf(r), b.id, key, stages)
		if f.take(err) {
			return s.showTalk(w, r, http.StatusUnprocessableEntity, b, f, stages, true)
		}
		if err != nil {
			return err
		}
		s.redirect(w, r, b.heart("")+"?said=talk-tested")
		return nil
	case f.values.Has("rate"):
		stage := stageNow(f)
		if len(f.faults) > 0 {
			return s.showTalk(w, r, http.StatusUnprocessableEntity, b, f, stages, true)
		}
		stages = append(stages, stage)
		f.values.Del("rate")
		f.values.Del("talk")
	}
	return s.showTalk(w, r, http.StatusOK, b, f, stages, true)
}

// stagesBehind are the stages that are over, as the form carries them; sound is
// false where they cannot have come from it.
func stagesBehind(f *form) (stages []intensity.Stage, sound bool) {
	for i := range talkStages {
		at := "[" + strconv.Itoa(i) + "]"
		if !f.values.Has("rate" + at) {
			return stages, true
		}
		rate, err := strconv.Atoi(f.text("rate" + at))
		talk, ok := intensity.ParseTalk(f.text("talk" + at))
		if err != nil || !ok || rate < lowestTyped || rate > highestTyped || ended(stages) {
			return nil, false
		}
		stages = append(stages, intensity.Stage{Rate: intensity.BPM(rate), Talk: talk})
	}
	return stages, true
}

// stageNow is the stage that was just done.
func stageNow(f *form) intensity.Stage {
	rate, known := f.number("rate")
	if f.faultAt("rate") == "" && (!known || rate < lowestTyped || rate > highestTyped) {
		f.wrong("rate", "a heart rate from "+strconv.Itoa(lowestTyped)+" to "+strconv.Itoa(highestTyped)+", please")
	}
	talk, ok := intensity.ParseTalk(f.text("talk"))
	if !ok {
		f.wrong("talk", "please pick one")
	}
	return intensity.Stage{Rate: intensity.BPM(rate), Talk: talk}
}

// ended says whether the test is over: at the first stage that was not
// comfortable, or after the last.
func ended(stages []intensity.Stage) bool {
	n := len(stages)
	return n > 0 && stages[n-1].Talk != intensity.Chat || n == len(talkStages)
}

// showTalk shows the page that follows the stages behind; begun is false before
// the first.
func (s *server) showTalk(w http.ResponseWriter, r *http.Request, status int, b subject, f *form, stages []intensity.Stage, begun bool) error {
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	v := page.TalkTest{
		Action: b.talkTest(), Key: f.text("key"), Back: b.heart(""), Errors: f.errors(),
		Mistakes: f.mistakes(map[string]string{"rate": "Heart rate", "talk": "Reading"}),
	}
	if !soundKey(v.Key) {
		key, err := s.newKey()
		if err != nil {
			return err
		}
		v.Key = string(key)
	}
	v.Phone = s.phone(r, "Guided talk test", "", b.heart(""))
	v.Phone.Loads = []string{part.HeartStyle, part.TalkScript}
	if b.byCoach() {
		v.Phone.For = t.Athlete.Name
	}
	for i, stage := range stages {
		v.Behind = append(v.Behind, page.StageBehind{
			Name: talkStages[i].name, Rate: strconv.Itoa(int(stage.Rate)), Talk: stage.Talk.String(), Answer: answerWords(stage.Talk),
		})
	}
	switch stop := wayWords(t.Way); {
	case stop != "":
		v.OffTitle = "No running for now"
		v.Off = []string{stop, "The talk test waits until running begins again. Halfhour is a training diary and gives no medical advice."}
	case !t.Athlete.HeartUsable:
		v.OffTitle, v.Off = "Not by heart rate", talkOff()
	case begun && ended(stages):
		result := talkResult(stages)
		v.Result = &result
	case begun:
		now := talkStages[len(stages)]
		v.Stage = &page.TalkStage{Number: len(stages) + 1, Of: len(talkStages), Name: now.name, How: now.how, Rate: f.text("rate"), Talk: f.text("talk")}
	}
	return s.page(w, r, status, page.TalkTestPage(v))
}

// answerWords say an answer in the table of stages.
func answerWords(t intensity.Talk) string {
	return [...]string{"", "comfortably", "with a catch of breath", "not any more"}[t]
}

// talkOff says why the test is not offered to somebody whose heart rate does not
// count (rule 4.4).
func talkOff() []string {
	return []string{
		"Heart rate does not count here, for a reason that was noted: medicine that holds it down, an irregular heartbeat, a pacemaker, a transplant, pregnancy, or that the coach says so.",
		"Everything works without it. Run so that you could say a short sentence, walk until you could chat.",
	}
}

// talkResult says what the test came to.
func talkResult(stages []intensity.Stage) page.TalkResult {
	rate, ok := intensity.LastComfortable(stages)
	switch {
	case ok:
		n := strconv.Itoa(int(rate))
		return page.TalkResult{BPM: n, Title: "Your easy ceiling: " + n, Words: []string{
			"It is the heart rate of the last stage at which you could read comfortably. Once kept, it holds from today on; older sessions keep the ceiling they were judged with.",
		}}
	case stages[0].Talk != intensity.Chat:
		return page.TalkResult{Title: "No ceiling today", Words: []string{
			"Reading was not comfortable in the easiest stage already, so nothing lies under it to take as a ceiling. Nothing is stored.",
			"Another day it may be different. Tell your coach; if breath is short in an easy walk on other days too, ask a doctor before you go on.",
		}}
	}
	return page.TalkResult{Title: "Comfortable to the end", Words: []string{
		"Reading stayed comfortable in every stage, so your ceiling lies somewhere above what you did today; the test cannot say where. Nothing is stored.",
	}}
}
