package httpd

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// groupsPage shows the groups and holidays of the club.
func (s *server) groupsPage(w http.ResponseWriter, r *http.Request) error {
	return s.showGroups(w, r, http.StatusOK, &form{}, "")
}

// showGroups shows them, with a form that came back: of the group of the ID, a new one
// ("new") or a holiday ("holiday").
func (s *server) showGroups(w http.ResponseWriter, r *http.Request, status int, f *form, which string) error {
	groups, holidays, err := s.Days.Club(r.Context(), clubOf(r).ID)
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	d, today, may := datesFor(r), s.today(r), visitorOf(r).IsKeeper()
	v := page.GroupsPageView{Desk: s.desk(r, "Groups and holidays", part.InWeeks)}
	v.Desk.Loads = []string{part.WeekStyle}
	for _, g := range groups {
		one := page.OneGroup{
			Name: g.Name, Words: meetsWords(&g, d), People: wording.Count(g.People, "athlete", "athletes"),
			Weeks: part.WeeksAt + "?group=" + idText(g.ID),
		}
		if may {
			one.Remove = part.GroupsAt + "/" + idText(g.ID) + "/remove"
			one.Form = groupFormOf(&g, string(key), f, which == idText(g.ID))
		}
		v.Groups = append(v.Groups, one)
	}
	for _, h := range holidays {
		if h.To < today-7 {
			continue
		}
		one := page.OneHoliday{Words: spanWords(h.Span, d, today) + ", " + h.Name}
		if may {
			one.Remove = "/holidays/" + idText(h.ID) + "/remove"
		}
		v.Holidays = append(v.Holidays, one)
	}
	if may {
		v.New = groupFormOf(&roster.Group{}, string(key), f, which == "new")
		v.New.Open = v.New.Open || len(groups) == 0
		v.Free = page.HolidayForm{Action: "/holidays", Key: string(key)}
		if which == "holiday" {
			v.Free.Name, v.Free.From, v.Free.To, v.Free.Errors = f.text("name"), f.text("from"), f.text("to"), f.errors()
		}
	}
	return s.page(w, r, status, page.GroupsPage(v))
}

// spanWords are the dates of a span that has an end.
func spanWords(span day.Span, d wording.Dates, today day.Date) string {
	if span.From == span.To {
		return d.Day(span.From, today)
	}
	return d.Span(span.From, span.To, today)
}

// meetsWords say when a group meets: "Tuesday 18:30, Thursday 18:30".
func meetsWords(g *roster.Group, d wording.Dates) string {
	var list []string
	for i, at := range g.Meets {
		if minutes, meets := at.Get(); meets {
			list = append(list, weekdayOf(i+1).String()+" "+d.Minute(minutes))
		}
	}
	return strings.Join(list, ", ")
}

// groupFormOf is the form for a group; typed says that it came back.
func groupFormOf(g *roster.Group, key string, f *form, typed bool) page.GroupForm {
	v := page.GroupForm{Action: part.GroupsAt, ID: "new-", Key: key, Name: g.Name, Open: typed}
	if g.ID != 0 {
		v.Action, v.ID, v.Version = part.GroupsAt+"/"+idText(g.ID), "g"+idText(g.ID)+"-", strconv.Itoa(g.Version)
	}
	for i := range v.Days {
		v.Days[i] = weekdayOf(i + 1).String()
		if minutes, meets := g.Meets[i].Get(); meets {
			v.Meets[i] = fmt.Sprintf("%02d:%02d", minutes/60, minutes%60)
		}
	}
	if typed {
		v.Name, v.Errors = f.text("name"), f.errors()
		for i := range v.Meets {
			v.Meets[i] = f.text(meetsField(i))
		}
		if k := f.text("key"); soundKey(k) {
			v.Key = k
		}
	}
	return v
}

func meetsField(i int) string { return "meets[" + strconv.Itoa(i) + "]" }

// addGroup makes a group, and changeGroup changes one.
func (s *server) addGroup(w http.ResponseWriter, r *http.Request) error {
	return s.keepGroup(w, r, 0)
}

func (s *server) changeGroup(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.GroupID](r, "group")
	if err != nil {
		return err
	}
	return s.keepGroup(w, r, id)
}

func (s *server) keepGroup(w http.ResponseWriter, r *http.Request, id roster.GroupID) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	g := roster.Group{ID: id, Name: f.text("name")}
	for i := range g.Meets {
		g.Meets[i] = f.minutes(meetsField(i))
	}
	which := "new"
	if id != 0 {
		which = idText(id)
		if g.Version, _ = f.number("version"); g.Version == 0 {
			return errStale()
		}
	}
	key := f.key()
	if len(f.faults) == 0 {
		_, err = s.Days.SaveGroup(r.Context(), actorOf(r), g, key)
	}
	if f.take(err) || len(f.faults) > 0 {
		return s.showGroups(w, r, http.StatusUnprocessableEntity, f, which)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, part.GroupsAt+"?said=grouped")
	return nil
}

// minutes is a time of day written 18:30, in minutes after midnight; an empty field is
// not known.
func (f *form) minutes(name string) readiness.Maybe {
	typed := f.text(name)
	if typed == "" {
		return readiness.Maybe{}
	}
	t, err := time.Parse("15:04", typed)
	if err != nil {
		f.wrong(name, "a time like 18:30, please")
		return readiness.Maybe{}
	}
	return readiness.Some(t.Hour()*60 + t.Minute())
}

// removeGroup takes a group away.
func (s *server) removeGroup(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.GroupID](r, "group")
	if err != nil {
		return err
	}
	if err := s.Days.RemoveGroup(r.Context(), actorOf(r), id); err != nil {
		return err
	}
	s.redirect(w, r, part.GroupsAt+"?said=ungrouped")
	return nil
}

// addHoliday notes a holiday.
func (s *server) addHoliday(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	h := roster.Holiday{Name: f.text("name"), Span: day.Span{From: f.date("from"), To: f.date("to")}}
	key := f.key()
	if len(f.faults) == 0 {
		_, err = s.Days.AddHoliday(r.Context(), actorOf(r), h, key)
	}
	if f.take(err) || len(f.faults) > 0 {
		return s.showGroups(w, r, http.StatusUnprocessableEntity, f, "holiday")
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, part.GroupsAt+"?said=holiday")
	return nil
}

// removeHoliday takes a holiday out again.
func (s *server) removeHoliday(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.HolidayID](r, "holiday")
	if err != nil {
		return err
	}
	if err := s.Days.RemoveHoliday(r.Context(), actorOf(r), id); err != nil && fault.KindOf(err) != fault.NotFound {
		return err
	}
	s.redirect(w, r, part.GroupsAt+"?said=no-holiday")
	return nil
}
