package httpd

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
)

// Seconds of easy walking before and after a session with runs (common practice).
const (
	warmUp   = 6 * 60
	coolDown = 5 * 60
)

// whoHeader names whose page an answer is, so that the phone keeps it apart from
// anybody else's.
const whoHeader = "Halfhour-Who"

// week is what the phone needs to know of the next sessions without a signal.
type week struct {
	Who         string      `json:"who"`  // see whoOf
	Name        string      `json:"name"` // first name
	Date        string      `json:"date"` // today, where the athlete is
	Zone        string      `json:"time_zone"`
	Phase       string      `json:"phase"`
	Plan        []weekBlock `json:"plan"`   // empty: nothing is prescribed
	Words       string      `json:"words"`  // "Run 2 minutes, walk 3, six times"
	Warm        int         `json:"warm_s"` // seconds; 0: none
	Cool        int         `json:"cool_s"`
	Way         *weekWay    `json:"way"`          // null: may run
	HeartUsable bool        `json:"heart_usable"` // rule 4.4
	Easy        *int        `json:"easy"`         // the easy ceiling, beats a minute; null: none that counts
	Word        string      `json:"word"`         // the coach's words; empty: none
	WordBy      string      `json:"word_by"`
	Done        int         `json:"done"` // sessions of this week
	Of          int         `json:"of"`
	Next        string      `json:"next"`     // the date of the next session
	Standing    string      `json:"standing"` // changes with whatever changes what is prescribed
	Moved       string      `json:"moved"`    // "You moved up yesterday."; empty: not lately
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
	return s.json(w, r, http.StatusOK, weekOf(&t, pulse, datesFor(r)))
}

// weekOf lays out the week.
func weekOf(t *entry.Today, pulse *heart.Pulse, d wording.Dates) *week {
	a := &t.Athlete
	v := &week{
		Who: whoOf(a), Name: firstName(a.Name), Date: t.Date.String(), Zone: a.Zone, Phase: a.Phase, Plan: []weekBlock{},
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
	v.Words = bigWords(t.Plan)
	for _, block := range t.Plan {
		v.Plan = append(v.Plan, weekBlock{block.Kind.String(), block.Planned})
	}
	if pathway.HasRun(t.Plan) {
		v.Warm, v.Cool = warmUp, coolDown
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
