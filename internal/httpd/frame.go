package httpd

import (
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/part"
)

// desk is the frame of a coach's page; its notice is the one that the address
// asks for.
func (s *server) desk(r *http.Request, title string, at part.Section) part.Desk {
	v, today := visitorOf(r), s.today(r)
	return part.Desk{
		Title: title, Club: v.Club.Name, Date: datesFor(r).Full(today, today), Coach: v.Coach.Name,
		Demo: v.Club.Demo, At: at, Notice: noticeIn(r),
	}
}

// phone is the frame of an athlete's page; back is the page before, if any.
func (s *server) phone(r *http.Request, title, at, back string) part.Phone {
	return part.Phone{Title: title, Demo: clubOf(r).Demo, Back: back, At: at, Notice: noticeIn(r)}
}

// plain is the frame of a page for whoever is not signed in.
func (s *server) plain(r *http.Request, title string) part.Plain {
	return part.Plain{Title: title, Notice: noticeIn(r)}
}

// noticeIn is what the page says on top after something was done: the address
// names one of a few sentences, so that loading the page again does nothing
// twice and nobody can put words of their own there.
func noticeIn(r *http.Request) part.Notice {
	said := r.URL.Query().Get("said")
	switch said {
	case "logged":
		return part.Notice{Text: "Stored.", Next: recordingAt(r, "Add the recording of a watch or strap")}
	case "nobody-ticked":
		return part.Notice{Text: "Nobody was ticked, so nothing changed.", Warn: true}
	case "recorded-elsewhere":
		return part.Notice{Text: "This file is there already, at another session. Nothing was stored.", Warn: true, Next: recordingAt(r, "Look at it there")}
	}
	for _, of := range [...]func(string) part.Notice{trainingNotice, weekNotice, aroundNotice, letterNotice, keepingNotice} {
		if n := of(said); n.Text != "" {
			return n
		}
	}
	return accessNotice(r)
}

// trainingNotice is about people and their training.
func trainingNotice(said string) part.Notice {
	return part.Notice{Text: map[string]string{
		"changed":         "The change is stored.",
		"left":            "Gone from the roster. The sessions stay, and every login has ended.",
		"way-in":          "If somebody here has that address, a letter is on its way to it. The link in it works once, for an hour.",
		"mailed":          "The link is on its way by mail.",
		"returned":        "Back on the roster. Make a new sign-in link, since the old logins have ended.",
		"noted":           "The note is kept.",
		"looked":          "Kept: you have looked at the answers.",
		"away":            "The time away is noted.",
		"unsaid":          "The time away is taken out again.",
		"logged-before":   "This session is there already; it was stored once.",
		"corrected":       "The correction is stored.",
		"deleted":         "The session is deleted.",
		"morning":         "Thank you, stored.",
		"undone":          "Taken back. Everything stands as before.",
		"recorded":        "The recording is attached. This is what it shows.",
		"recorded-before": "This file is here already; it was stored once.",
		"read-anew":       "Read anew, with the rules and the ceiling that hold now.",
		"unrecorded":      "The recording is removed. The session stays.",
		"measured":        "Kept. It holds from its date on.",
		"unmeasured":      "Taken back. Sessions keep the ceiling they were judged with.",
		"talk-tested":     "The talk test is kept. Its ceiling holds from today on.",
		"offer-taken":     "Taken as the maximum, from the date of that session on.",
		"offer-left":      "Left. This recording is not asked about again.",
	}[said]}
}

// weekNotice is about weeks.
func weekNotice(said string) part.Notice {
	switch said {
	case "moved":
		return part.Notice{Text: "Moved. This is the week as it is now."}
	case "fixed":
		return part.Notice{Text: "Fixed, from now on."}
	case "unfixed":
		return part.Notice{Text: "Let go. Each week finds its own day for it."}
	case "habits":
		return part.Notice{Text: "Kept. The weeks are laid out by it from now on."}
	case "grouped":
		return part.Notice{Text: "The group is kept. Its days hold from now on."}
	case "ungrouped":
		return part.Notice{Text: "The group is gone. Whoever was in it keeps training, without its fixed days."}
	case "holiday":
		return part.Notice{Text: "Noted. Nothing is planned for anybody then."}
	case "no-holiday":
		return part.Notice{Text: "The holiday is taken out again."}
	}
	return part.Notice{}
}

// aroundNotice is about the weather, and what is done before and after a session.
func aroundNotice(said string) part.Notice {
	switch said {
	case "weather":
		return part.Notice{Text: "The weather is noted for today."}
	case "called-off":
		return part.Notice{Text: "Called off for today. Nothing is lost by that."}
	case "routine":
		return part.Notice{Text: "The routine is kept. Every athlete sees it from now on."}
	case "movement":
		return part.Notice{Text: "Added. It can be chosen above now."}
	case "put-away":
		return part.Notice{Text: "Put away. A routine that has it keeps it."}
	}
	return part.Notice{}
}

// keepingNotice is about what is kept of people.
func keepingNotice(said string) part.Notice {
	switch said {
	case "week-entered":
		return part.Notice{Text: "Stored. What was there already was stored once."}
	case "calendar-ended":
		return part.Notice{Text: "The address is taken away. It opens nothing any more; remove the calendar from your programs too."}
	case "erased":
		return part.Notice{Text: "Everything about that person is erased."}
	case "kept":
		return part.Notice{Text: "Nothing is erased. Everything stays as it is."}
	case "keeping":
		return part.Notice{Text: "That is how long people are kept from now on. Nobody is erased within a month."}
	}
	if n := letterNotice(said); n.Text != "" {
		return n
	}
	return keyNotice(said)
}

// recordingAt leads to the recording of the session that the address names; zero
// where it names none.
func recordingAt(r *http.Request, words string) part.Link {
	b, err := subjectOf(r)
	if err != nil {
		return part.Link{}
	}
	id, err := strconv.ParseInt(r.URL.Query().Get("at"), 10, 64)
	if err != nil || id < 1 {
		return part.Link{}
	}
	return part.Link{Href: b.recording(roster.SessionID(id), ""), Words: words}
}

// errors is what is wrong with the form, by field, as pages show it.
func (f *form) errors() part.Errors {
	e := part.Errors{}
	for _, field := range f.faults {
		if _, there := e[field.Place]; !there {
			e[field.Place] = sentence(field.Message)
		}
	}
	return e
}

// mistakes is the summary on top of the form; labels name the fields as the page
// does.
func (f *form) mistakes(labels map[string]string) []part.Mistake {
	var list []part.Mistake
	for _, field := range f.faults {
		words := sentence(field.Message)
		if label := labels[field.Place]; label != "" {
			words = label + ": " + sentence(field.Message)
		}
		list = append(list, part.Mistake{Field: field.Place, Words: words})
	}
	return list
}

// sentence makes one of a message.
func sentence(message string) string {
	if strings.HasSuffix(message, ".") || strings.HasSuffix(message, "?") {
		return wording.Capital(message)
	}
	return wording.Capital(message) + "."
}
