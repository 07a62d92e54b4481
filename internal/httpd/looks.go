package httpd

import (
	"context"
	"log/slog"
	"maps"
	"net/http"
	"slices"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
)

// noteWithin bounds how long the note of a look may take.
const noteWithin = 5 * time.Second

// noteLook keeps that a coach looked at one athlete, after the page was shown: what
// is refused was not seen, and nobody waits for the note to be kept. A form that comes
// back with faults shows the page as well. Where the note cannot be kept the page was
// shown all the same, since a coach may have to know of a warning sign; the log says so.
func (s *server) noteLook(line route, r *http.Request) {
	asked := askedOf(r.Context())
	what := line.looks()
	if what == "" || !asked.visitor.IsCoach() || asked.status == nil || !shows(asked.status()) {
		return
	}
	id, err := athleteIn(r)
	if err != nil {
		return
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(r.Context()), noteWithin)
	defer cancel()
	if err := s.Privacy.Looked(ctx, asked.visitor.Club, asked.visitor.Coach.ID, id, what); err != nil {
		s.Log.LogAttrs(ctx, slog.LevelError, "a look was not noted", slog.String("reference", asked.reference), slog.String("error", err.Error()))
	}
}

// shows says whether an answer of the status shows something of the athlete.
func shows(status int) bool {
	return slices.Contains([]int{http.StatusOK, http.StatusConflict, http.StatusUnprocessableEntity, http.StatusRequestEntityTooLarge}, status)
}

// looks is what a coach sees of the athlete whom the address names; empty where it
// names nobody.
func (l route) looks() privacy.What {
	_, rest, named := strings.Cut(l.pattern, "/athletes/{athlete}")
	if !named {
		return ""
	}
	has := func(parts ...string) bool {
		return slices.ContainsFunc(parts, func(part string) bool { return strings.Contains(rest, part) })
	}
	switch {
	case has("/archive"):
		return privacy.Archive
	case has("/kept", "/erase"):
		return privacy.Kept
	case has("/joining", "/health", "/clear", "/consent", "/review"):
		return privacy.Health
	case has("/recording", "/heart", "/talk-test"):
		return privacy.Heart
	case has("/sessions"), rest == "/log":
		return privacy.Sessions
	}
	return privacy.Page
}

// lookMonths say by month who looked at what, the newest month first; whose is "your"
// or "the".
func lookMonths(looks []privacy.Look, today day.Date, whose string) []page.Month {
	var months []page.Month
	for len(looks) > 0 {
		first := looks[0].On.UTC()
		n := slices.IndexFunc(looks, func(l privacy.Look) bool { return l.On.UTC().Month() != first.Month() || l.On.Year() != first.Year() })
		if n < 0 {
			n = len(looks)
		}
		m := page.Month{Name: first.Month().String(), Lines: lookLines(looks[:n], whose)}
		if first.Year() != today.Year() {
			m.Name = first.Format("January 2006")
		}
		months, looks = append(months, m), looks[n:]
	}
	return months
}

// lookLines say of one month what each coach looked at, by name: "Mara Lund looked at
// your page on three days and at your heart rate on one day."
func lookLines(looks []privacy.Look, whose string) []string {
	days := map[string]map[privacy.What]int{}
	for _, l := range looks {
		if days[l.By] == nil {
			days[l.By] = map[privacy.What]int{}
		}
		days[l.By][l.What]++
	}
	var lines []string
	for _, name := range slices.Sorted(maps.Keys(days)) {
		var parts []string
		for _, seen := range lookOrder(whose) {
			if n := days[name][seen.what]; n > 0 {
				parts = append(parts, seen.words+" on "+wording.Count(n, "day", "days"))
			}
		}
		lines = append(lines, name+" looked at "+enumerated(parts)+".")
	}
	return lines
}

// enumerated is a list in a sentence: "a, b and c".
func enumerated(parts []string) string {
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	last := len(parts) - 1
	return strings.Join(parts[:last], ", ") + " and " + parts[last]
}

// seenWords is what was looked at, in words.
type seenWords struct {
	what  privacy.What
	words string
}

func lookOrder(whose string) []seenWords {
	return []seenWords{
		{privacy.Page, whose + " page"}, {privacy.Sessions, "single sessions"}, {privacy.Heart, whose + " heart rate"},
		{privacy.Health, whose + " answers about health"}, {privacy.Kept, "the list of what is kept"},
		{privacy.Archive, "all that is kept, as a file,"},
	}
}
