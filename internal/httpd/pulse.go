package httpd

import (
	"net/http"
	"slices"
	"strconv"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// heartPage is everything known of somebody's heart rate.
func (s *server) heartPage(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	return s.showHeart(w, r, http.StatusOK, b, &form{})
}

// showHeart shows the page; f holds what was typed into one of its forms and what
// is wrong with it.
func (s *server) showHeart(w http.ResponseWriter, r *http.Request, status int, b subject, f *form) error {
	p, err := s.Heart.Pulse(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	v := heartView(p, b, datesFor(r), key)
	v.Desk, v.Phone = s.heartFrame(r, b, &p.Athlete, "Heart rate", part.TodayAt)
	typedMeasure(&v, f)
	return s.page(w, r, status, page.HeartPage(v))
}

// heartView lays out what is known.
func heartView(p *heart.Pulse, b subject, d wording.Dates, key roster.Key) page.Heart {
	v := page.Heart{Name: p.Athlete.Name, Back: athletePath(p.Athlete.ID), Ceiling: ceilingOf(p, b, d)}
	if p.Athlete.HeartUsable {
		v.TalkHref = b.talkTest()
	} else {
		v.Off = "Heart rate does not count here, for a reason that was noted. Everything works without it: breath, talk and effort decide."
	}
	for _, h := range slices.Backward(p.History) {
		v.History = append(v.History, page.Held{Since: "since " + d.Day(h.From, p.Today), BPM: strconv.Itoa(int(h.BPM)), From: "from " + sourceWords(h.Ceiling)})
	}
	for _, m := range p.Measurements {
		v.Measured = append(v.Measured, measuredOf(&m, b, d, p.Today))
	}
	for _, o := range p.Offers {
		v.Offers = append(v.Offers, offerOf(&o, b, d, p.Today, key))
	}
	v.Resting = page.Measuring{Action: b.heart("/measurements"), Key: string(key), Kind: string(roster.RestMeasured), On: p.Today.String(), Max: p.Today.String()}
	if !b.byCoach() {
		return v
	}
	v.EditHref = b.base + "/edit"
	most := v.Resting
	most.Kind = string(roster.MaxMeasured)
	v.Max = &most
	v.Formulas = &page.Formulas{Action: b.heart("/formula"), Value: p.Athlete.Formula.String()}
	for f := intensity.Nes; f <= intensity.Zhu; f++ {
		v.Formulas.Options = append(v.Formulas.Options, part.Option{Value: f.String(), Words: formulaWords(f)})
	}
	return v
}

// ceilingOf is the ceiling of today in words.
func ceilingOf(p *heart.Pulse, b subject, d wording.Dates) page.Ceiling {
	c := page.Ceiling{Href: b.heart("")}
	if !known(p.Easy) {
		c.Words = "Not known yet. A talk test gives one; a year of birth or a measured maximum gives a rough one."
		return c
	}
	c.BPM, c.From, c.Sure = strconv.Itoa(int(p.Easy.BPM)), wording.Capital("from "+sourceWords(p.Easy)), sureWords(p.Easy)
	if n := len(p.History); n > 0 {
		c.From += ", " + d.Since(p.History[n-1].From, p.Today)
	}
	c.From += "."
	if known(p.Hard) {
		c.Hard = "Zone 2 ends at " + strconv.Itoa(int(p.Hard.BPM)) + ": time above it in runs speaks of running too hard."
	}
	if !p.Athlete.HeartUsable {
		c.Sure += " It is not used: heart rate does not count here."
	}
	return c
}

func measuredOf(m *roster.Measurement, b subject, d wording.Dates, today day.Date) page.Measured {
	v := page.Measured{What: measuredWords(m.Kind), Value: strconv.Itoa(int(m.BPM)), When: d.Day(m.On, today), By: "by the athlete"}
	switch {
	case m.ByCoach != 0 && m.By != "":
		v.By = "by " + m.By
	case m.ByCoach != 0:
		v.By = "by a coach"
	case !b.byCoach():
		v.By = "by you"
	}
	if b.byCoach() || m.ByCoach == 0 {
		v.Back = b.heart("/measurements/" + idText(m.ID) + "/back")
	}
	return v
}

func offerOf(o *heart.Offer, b subject, d wording.Dates, today day.Date, key roster.Key) page.Offer {
	thought := "predicted"
	if o.Measured {
		thought = "measured"
	}
	v := page.Offer{
		Words: "A recording " + d.When(o.Date, today) + " holds " + strconv.Itoa(int(o.Peak)) + " beats a minute for ten seconds; a maximum of " + strconv.Itoa(int(o.Expected)) + " was " + thought + ".",
		Href:  b.recording(o.Session, ""),
	}
	if !b.byCoach() {
		v.Words += " Your coach is asked whether to take it as your maximum."
		return v
	}
	v.Words += " Sensors can be wrong: look at it before you take it."
	v.Action, v.Key = b.heart("/offers"), string(key)
	v.Fields = []part.Hidden{{Name: "recording", Value: idText(o.Recording)}}
	return v
}

// typedMeasure puts back what was typed into one of the forms.
func typedMeasure(v *page.Heart, f *form) {
	if len(f.faults) == 0 {
		return
	}
	if v.Formulas != nil && f.faultAt("formula") != "" {
		v.Formulas.Error = sentence(f.faultAt("formula"))
		return
	}
	m := &v.Resting
	if v.Max != nil && f.text("kind") == v.Max.Kind {
		m = v.Max
	}
	m.BPM, m.On, m.Errors, m.Open = f.text("bpm"), f.text("on"), f.errors(), true
	if soundKey(f.text("key")) {
		m.Key = f.text("key")
	}
}

// measure keeps a resting rate or a measured maximum.
func (s *server) measure(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	f, key, err := keyedForm(r)
	if err != nil {
		return err
	}
	bpm, on := f.whole("bpm"), f.date("on")
	if len(f.faults) == 0 {
		err = s.Heart.Measure(r.Context(), actorOf(r), b.id, key, roster.MeasurementKind(f.text("kind")), bpm, on)
	}
	if f.take(err) || len(f.faults) > 0 {
		return s.showHeart(w, r, http.StatusUnprocessableEntity, b, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, b.heart("")+"?said=measured")
	return nil
}

// unmeasure takes a measurement back; what is gone already is as good.
func (s *server) unmeasure(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	id, err := idIn[roster.MeasurementID](r, "measurement")
	if err != nil {
		return err
	}
	if err := s.Heart.TakeBack(r.Context(), actorOf(r), b.id, id); err != nil {
		return err
	}
	s.redirect(w, r, b.heart("")+"?said=unmeasured")
	return nil
}

// answerOffer takes or leaves the maximum seen in a recording.
func (s *server) answerOffer(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key, id, said := f.key(), f.whole("recording"), "offer-left"
	choice := f.text("choice")
	if len(f.faults) > 0 || choice != "take" && choice != "leave" {
		return errStale()
	}
	if choice == "take" {
		said = "offer-taken"
		err = s.Heart.TakeOffer(r.Context(), actorOf(r), b.id, key, roster.RecordingID(id))
	} else {
		err = s.Heart.PassOver(r.Context(), actorOf(r), b.id, roster.RecordingID(id))
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, b.heart("")+"?said="+said)
	return nil
}

// setFormula picks the formula of the predicted maximum.
func (s *server) setFormula(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Heart.SetFormula(r.Context(), actorOf(r), b.id, f.text("formula"))
	if fault.KindOf(err) == fault.Invalid && f.take(err) {
		return s.showHeart(w, r, http.StatusUnprocessableEntity, b, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, b.heart("")+"?said=changed")
	return nil
}
