package httpd

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"time"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weather"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/part"
)

// whoHeader names whose page an answer is, so that the phone keeps it apart from
// anybody else's.
const whoHeader = "Halfhour-Who"

// week is what the phone needs to know of the next sessions without a signal.
type week struct {
	Who         string       `json:"who"`  // see whoOf
	Name        string       `json:"name"` // first name
	Date        string       `json:"date"` // today, where the athlete is
	Zone        string       `json:"time_zone"`
	Phase       string       `json:"phase"`
	Plan        []weekBlock  `json:"plan"`   // empty: nothing is prescribed
	Words       string       `json:"words"`  // "Run 2 minutes, walk 3, six times"
	Warm        int          `json:"warm_s"` // seconds; 0: none
	Cool        int          `json:"cool_s"`
	WarmSteps   []weekStep   `json:"warm_steps"` // what is done in them, in order
	CoolSteps   []weekStep   `json:"cool_steps"`
	Weather     *weekWeather `json:"weather"`      // null: nobody told any today
	Way         *weekWay     `json:"way"`          // null: may run
	HeartUsable bool         `json:"heart_usable"` // rule 4.4
	Easy        *int         `json:"easy"`         // the easy ceiling, beats a minute; null: none that counts
	Word        string       `json:"word"`         // the coach's words; empty: none
	WordBy      string       `json:"word_by"`
	Done        int          `json:"done"` // sessions of this week
	Of          int          `json:"of"`
	Next        string       `json:"next"`     // the date of the next session
	Standing    string       `json:"standing"` // changes with whatever changes what is prescribed
	Moved       string       `json:"moved"`    // "You moved up yesterday."; empty: not lately
}

// weekBlock is one block of the plan.
type weekBlock struct {
	Kind    string `json:"kind"`
	Planned int    `json:"planned_s"`
}

// weekWay says why nothing is prescribed.
type weekWay struct {
	Kind  string   `json:"kind"` // stop, bone, referred, paused or before (still coming in)
	Title string   `json:"title"`
	Words []string `json:"words"`
}

// phoneWeek tells the phone what is next.
func (s *server) phoneWeek(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	if _, err := s.follow(r, b, &t); err != nil {
		return err
	}
	pulse, err := s.Heart.Pulse(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	v := weekOf(&t, pulse, datesFor(r))
	if err := s.aroundWeek(r, v, &t); err != nil {
		return err
	}
	return s.json(w, r, http.StatusOK, v)
}

// weekWeather is the weather of today, as the phone shows it and ticks “It was hot” by.
type weekWeather struct {
	At     string   `json:"at"`      // the hour that it is of
	Now    string   `json:"now"`     // "31 °C, 55 %, in the sun"
	Of     string   `json:"of"`      // "As you typed it at 14:05."
	Words  []string `json:"words"`   // what to do about it
	HotWhy string   `json:"hot_why"` // why “It was hot” is ticked near that hour; empty: it is not
	Near   int      `json:"near_s"`  // how near, in seconds
	Fresh  int      `json:"fresh_s"` // for how long it counts as the weather of now
}

// aroundWeek puts in what is done before and after a session, and the weather.
func (s *server) aroundWeek(r *http.Request, v *week, t *entry.Today) error {
	if len(t.Plan) == 0 {
		return nil
	}
	if pathway.HasRun(t.Plan) {
		f, err := s.Routine.For(r.Context(), actorOf(r), t.Athlete.ID)
		if err != nil {
			return err
		}
		v.Warm, v.Cool = f.Seconds(f.Before), f.Seconds(f.After)
		v.WarmSteps, v.CoolSteps = weekSteps(&f, f.Before), weekSteps(&f, f.After)
	}
	o, err := s.Outdoors.Look(r.Context(), actorOf(r), &t.Athlete)
	if o == nil || err != nil {
		return err
	}
	place, d := t.Athlete.Place(), datesFor(r)
	clock := d.Clock(o.At, place)
	v.Weather = &weekWeather{
		At: o.At.UTC().Format(time.RFC3339), Now: airWords(o.Air), Of: ofWords(o, clock, s.Now()), Words: o.Advice.Today(),
		Near: int(outdoors.HotFor.Seconds()), Fresh: int(outdoors.FreshFor.Seconds()),
	}
	if len(v.Weather.Words) == 0 {
		v.Weather.Words = []string{unchanged}
	}
	if o.Advice.Hot {
		v.Weather.HotWhy = hotWords(&o.Weather, clock)
	}
	if o.Advice.Heat() {
		v.Weather.Words = append(v.Weather.Words, weather.Signs()[0], weather.NoAdvice)
	}
	return nil
}

// weekOf lays out the week.
func weekOf(t *entry.Today, pulse *heart.Pulse, d wording.Dates) *week {
	a := &t.Athlete
	v := &week{
		Who: whoOf(a), Name: firstName(a.Name), Date: t.Date.String(), Zone: a.Zone, Phase: a.Phase, Plan: []weekBlock{}, WarmSteps: []weekStep{}, CoolSteps: []weekStep{},
		HeartUsable: a.HeartUsable, Word: a.CoachWord, WordBy: wordBy(t, d), Done: t.Done, Of: t.Of, Next: t.Next.String(),
		Standing: standingOf(a, t.Shelf.Blocks(t.Rung)), Moved: movedWords(t, d),
	}
	if a.HeartUsable && known(pulse.Easy) {
		easy := int(pulse.Easy.BPM)
		v.Easy = &easy
	}
	if words := wayWords(t.Way); words != "" {
		stop := stopOf(t.Way, words)
		v.Way = &weekWay{Kind: stop.Kind, Title: stop.Title, Words: stop.Words}
		return v
	}
	v.Words = part.Together(bigWords(t.Plan))
	for _, block := range t.Plan {
		v.Plan = append(v.Plan, weekBlock{block.Kind.String(), block.Planned})
	}
	return v
}

// whoOf tells athletes apart on a phone: the same for each of somebody's logins, and
// no number of ours. It opens nothing.
func whoOf(a *roster.Athlete) string {
	return fingerprint("athlete", a.Club, a.ID)
}

// standingOf changes with the phase, the half step, a stop, how far somebody has come
// in, and the plan itself.
func standingOf(a *roster.Athlete, plan []pathway.Block) string {
	return fingerprint("standing", a.Phase, a.Held, a.Arrival, plan)
}

// fingerprint is twelve digits that change with any of the values.
func fingerprint(values ...any) string {
	digest := sha256.Sum256(fmt.Appendf(nil, "%#v", values))
	return hex.EncodeToString(digest[:6])
}
