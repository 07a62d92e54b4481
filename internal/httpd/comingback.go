package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// comingBack says how somebody comes back after an illness or an injury: to the
// athlete, and to a coach who reads it with them. After a holiday there is nothing
// to say.
func (s *server) comingBack(w http.ResponseWriter, r *http.Request) error {
	a, id, err := s.awayIn(r)
	if err != nil {
		return err
	}
	l, err := s.Enrol.Time(r.Context(), actorOf(r), a.ID, id)
	if err != nil {
		return err
	}
	if l.Kind == roster.OnHoliday {
		s.redirect(w, r, awayDone(r, &a))
		return nil
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), a.ID)
	if err != nil {
		return err
	}
	v := page.ComingBack{Title: "Coming back after being ill", Lead: illLead, Steps: illSteps(), Care: illCare(), Way: wayBackWords(&t)}
	if l.Kind == roster.Injured {
		v.Title, v.Lead, v.Steps, v.Care = "Coming back after an injury", hurtLead, hurtSteps(), hurtCare()
	}
	if t.Way == entry.FromTomorrow {
		v.Lead = tomorrowLead + v.Lead
	}
	v.Phone = s.phone(r, "Coming back", "", part.TodayAt)
	v.Phone.Loads = []string{part.JoinStyle}
	v.Next = part.Link{Href: part.TodayAt, Words: "To Today"}
	if visitorOf(r).IsCoach() {
		v.Phone.For, v.Phone.Back = a.Name, athletePath(a.ID)
		v.Next = part.Link{Href: athletePath(a.ID), Words: "To " + firstName(a.Name)}
	}
	return s.page(w, r, http.StatusOK, page.ComingBackPage(v))
}

// What is said about coming back is common practice among coaches and doctors
// (evidence notes, section 10: no trial stands behind it), and the pages say so.
const (
	illLead  = "The body is often behind the feeling. A few easy days cost nothing."
	hurtLead = "First walking without pain, then your coach's look, then the first phase."

	tomorrowLead = "Good. Today still counts as a day of rest, and from tomorrow there are sessions again. "

	practice = "This is common practice, with no trial behind it. Halfhour is a training diary and gives no medical advice: what your doctor says comes first."
)

func illSteps() []string {
	return []string{
		"No training with a fever, or with signs below the neck: aching limbs, a cough from the chest, an upset stomach. Wait until they have been gone for one or two days, without medicine against them.",
		"A cold in the head alone, without a fever: ten easy minutes on foot. If it gets worse, go home; if not, go on easily.",
		"The first session is easier than planned: all of it walking, or half of the runs. Go on only if you could chat in every walk.",
		"An easy day for each day that was lost, then on as planned.",
	}
}

func illCare() []string {
	return []string{
		"Pressure or pain in the chest, a racing or stumbling heart, fainting, or breathlessness you do not know from yourself, during an infection or after it: no training, and see a doctor. If you feel it now, call the local emergency number.",
		practice,
	}
}

func hurtSteps() []string {
	return []string{
		"Walk: half an hour on the flat without pain, during it and the next morning, on two days.",
		"Tell your coach. Your coach looks how it moves, asks about your health again, and confirms that you begin.",
		"Begin at the first phase. It goes quicker than the first time if everything is clear.",
		"Pain of 3 or more out of 10, or a limp: stop and walk home, and tell how it feels the next morning.",
	}
}

func hurtCare() []string {
	return []string{
		"A sore spot on one bone, pain at night or at rest, pain when hopping on one leg, deep pain in the groin, a hot and swollen calf, or a joint that locks or gives way: no running until somebody qualified has looked at it.",
		practice,
	}
}

// wayBackWords say where the sessions begin again (rule 9.4); empty where they go
// on as they were.
func wayBackWords(t *entry.Today) string {
	switch w := t.Verdict.WayBack(); {
	case w.Injured:
		return "After an injury the way back begins at the first phase: " + pathway.Words(t.Shelf.Phases[0].Blocks) + ". Your coach confirms it."
	case w.Check && w.Due:
		return wording.Capital(wording.Number(w.Days)) + " days without running: the way back begins at the first phase, " + pathway.Words(t.Shelf.Phases[0].Blocks) + ". Your coach confirms it."
	}
	return easierWords(t)
}

// easierWords say that the next sessions begin easier after a gap, as long as
// nobody has decided on it; empty where they do not.
func easierWords(t *entry.Today) string {
	w := t.Verdict.WayBack()
	if !w.Due || w.Check || t.Way > entry.OnLeave && t.Way != entry.FromTomorrow {
		return ""
	}
	return wording.Capital(wording.Number(w.Days)) + " days without running: the way back begins easier, with " + pathway.Words(t.Verdict.Blocks) +
		". Your coach confirms it; until then, rather too easy than too hard."
}
