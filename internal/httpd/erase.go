package httpd

import (
	"encoding/json"
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// askErasePage says what happens, before an athlete asks to be erased.
func (s *server) askErasePage(w http.ResponseWriter, r *http.Request) error {
	due := privacy.Asking{At: s.Now()}.Due()
	v := page.AskErase{
		Phone: s.phone(r, "Be erased?", "", part.MeAt), When: datesFor(r).When(day.Of(due, s.placeOf(r)), s.today(r)),
		Action: part.MeAt + "/erase", Archive: part.MeAt + "/archive", Back: part.MeAt,
	}
	return s.page(w, r, http.StatusOK, page.AskErasePage(v))
}

// askErase keeps that the athlete wants to be erased.
func (s *server) askErase(w http.ResponseWriter, r *http.Request) error {
	if err := s.Privacy.Ask(r.Context(), actorOf(r)); err != nil {
		return err
	}
	s.redirect(w, r, part.MeAt)
	return nil
}

// keepMe takes that back.
func (s *server) keepMe(w http.ResponseWriter, r *http.Request) error {
	if err := s.Privacy.TakeBack(r.Context(), actorOf(r)); err != nil {
		return err
	}
	s.redirect(w, r, part.MeAt+"?said=kept")
	return nil
}

// erase removes everything about an athlete, for a coach who typed the name.
func (s *server) erase(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Privacy.Erase(r.Context(), actorOf(r), id, f.text("name"))
	if f.take(err) {
		return s.showKept(w, r, http.StatusUnprocessableEntity, id, f)
	}
	if err != nil {
		return err
	}
	s.tidyLetters(r)
	s.rememberErased(r)
	s.redirect(w, r, part.RosterAt+"?said=erased")
	return nil
}

// tidyLetters removes the files of letters to somebody who was just erased. What goes
// wrong changes nothing about that, and the hourly errand does it once more.
func (s *server) tidyLetters(r *http.Request) {
	if _, err := s.Post.TidyFiles(r.Context(), clubOf(r).ID); err != nil {
		s.Log.WarnContext(r.Context(), "letters to somebody who was erased are in files still", "error", err)
	}
}

// ownKeptAt is what is kept of the coach who asks.
const ownKeptAt = part.ClubAt + "/about-me.json"

// ownKept hands it out as a file.
func (s *server) ownKept(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Privacy.Own(r.Context(), actorOf(r))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", `attachment; filename="halfhour-about-me.json"`)
	return s.json(w, r, http.StatusOK, json.RawMessage(kept))
}

// rememberErased puts somebody who was just erased on the list beside the database.
// What goes wrong is done once more by the hourly errand.
func (s *server) rememberErased(r *http.Request) {
	if _, err := s.Privacy.Remember(r.Context()); err != nil {
		s.Log.WarnContext(r.Context(), "somebody who was erased is not on the list yet", "error", err)
	}
}

// setKeeping changes how long the club keeps those who left.
func (s *server) setKeeping(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	months := f.whole("keep_months")
	if len(f.faults) == 0 {
		err = s.Privacy.SetKeeping(r.Context(), actorOf(r), months)
	}
	if f.take(err) || len(f.faults) > 0 {
		return s.showClub(w, r, http.StatusUnprocessableEntity, nil, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=keeping#keeping")
	return nil
}

// keepingView is how long the club keeps those who left, and who is erased soon.
func (s *server) keepingView(r *http.Request, f *form) (page.Keeping, error) {
	ctx, who := r.Context(), actorOf(r)
	if who.Deputy {
		return page.Keeping{}, nil
	}
	k, err := s.Privacy.Keeping(ctx, who.Club)
	if err != nil {
		return page.Keeping{}, err
	}
	v := page.Keeping{
		Words:  "Whoever has left is kept for " + monthsWords(k.Months) + "; then everything about them is erased by itself. Whoever was invited and never began goes " + wording.Number(privacy.WaitingMonths) + " months after anything was last heard. Both are announced here a month before.",
		Months: strconv.Itoa(k.Months), Errors: f.errors(),
	}
	if visitorOf(r).IsOwner() {
		v.Action = "/club/keeping"
	}
	if v.Errors.At("keep_months") != "" {
		v.Months = f.text("keep_months")
	}
	if v.Asking, err = s.askingRows(r); err != nil {
		return page.Keeping{}, err
	}
	ending, err := s.Privacy.Ending(ctx, who)
	if err != nil {
		return page.Keeping{}, err
	}
	for _, l := range ending {
		v.Ending = append(v.Ending, page.Ending{Name: l.Athlete.Name, Href: athletePath(l.Athlete.ID) + "/kept", When: s.onDay(r, l.Until)})
	}
	never, err := s.Privacy.NeverBegan(ctx, who)
	if err != nil {
		return page.Keeping{}, err
	}
	for _, l := range never {
		v.Never = append(v.Never, page.Ending{Name: l.Athlete.Name, Href: athletePath(l.Athlete.ID) + "/kept", When: s.onDay(r, l.Until)})
	}
	tallies, err := s.Privacy.Tallies(ctx, who.Club)
	for _, t := range tallies {
		v.Tallies = append(v.Tallies, tallyWords(t))
	}
	return v, err
}

// askingRows are those who asked to be erased, and when that happens by itself.
func (s *server) askingRows(r *http.Request) ([]page.Ending, error) {
	asking, err := s.asking(r)
	var rows []page.Ending
	for _, a := range asking {
		rows = append(rows, page.Ending{Name: a.Name, Href: athletePath(a.Athlete) + "/kept", When: s.onDay(r, a.Due())})
	}
	return rows, err
}

// tallyWords are what is counted of those who were erased in a year.
func tallyWords(t privacy.Tally) string {
	words := strconv.Itoa(t.Year) + ": " + wording.Count(t.Erased, "person", "people") + " with " + wording.Count(t.Sessions, "session", "sessions") +
		" and " + wording.Count(t.RunMinutes, "minute", "minutes") + " of running"
	if t.Reached > 0 {
		words += "; " + wording.Number(t.Reached) + " had run for thirty minutes without a break"
	}
	return words + "."
}
