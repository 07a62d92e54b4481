package page_test

import (
	"maps"

	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// gallery is every page in the situations worth looking at, by file name.
func gallery() map[string]templ.Component {
	withUndo := morning()
	withUndo.Desk.Notice = part.Notice{Text: "Ines Okafor moved up to run 2 min 45, walk 3 min 15, five times.", Undo: part.Undo{Action: "/decisions/undo", Fields: []part.Hidden{{Name: "decision", Value: "12"}}}}
	withUndo.Desk.Demo = true
	found := morning()
	found.Find, found.Found, found.Decide, found.Together, found.Steady, found.Away = "an", "2 of 15 names hold “an”.", found.Decide[:1], nil, found.Steady[:1], nil
	pages := map[string]templ.Component{
		"roster":          page.RosterPage(morning()),
		"roster-undo":     page.RosterPage(withUndo),
		"roster-found":    page.RosterPage(found),
		"roster-empty":    page.RosterPage(page.Roster{Desk: desk("Roster", part.InRoster), Lead: "Nobody is here yet.", Begin: true, NewHref: "/athletes/new"}),
		"athlete":         page.AthletePage(portrait()),
		"athlete-reason":  page.AthletePage(departing()),
		"athlete-gone":    page.AthletePage(gone()),
		"person-new":      page.PersonPage(newPerson()),
		"person-change":   page.PersonPage(changePerson()),
		"added":           page.AddedPage(page.Added{Desk: desk("A new athlete", part.NoSection), Title: "Ines Okafor is in. Here is the way for her phone.", Link: *link("Ines Okafor"), Href: "/athletes/1", More: "/athletes/new"}),
		"pathway":         page.PathwayPage(pathwayView()),
		"club":            page.ClubPage(club()),
		"club-proof":      page.ClubPage(stale()),
		"club-moving":     page.ClubPage(asked()),
		"address-new":     page.AddressPage(newAddress()),
		"club-address":    page.ClubPage(numbered()),
		"today":           page.TodayPage(today()),
		"today-morning":   page.TodayPage(hurting()),
		"today-paused":    page.TodayPage(stopped()),
		"today-rest":      page.TodayPage(rest()),
		"go":              page.GoPage(guided()),
		"after":           page.AfterPage(after()),
		"after-faults":    page.AfterPage(faulty()),
		"after-correct":   page.AfterPage(correcting()),
		"after-extra":     page.AfterPage(extra()),
		"after-strength":  page.AfterPage(strength()),
		"stopped":         page.StoppedPage(alarm()),
		"mine":            page.MinePage(mine()),
		"delete":          page.DeletePage(deleting()),
		"leave":           page.LeavePage(away()),
		"coming-back":     page.ComingBackPage(comingBack()),
		"sign-in":         page.SignInPage(page.SignIn{Plain: part.Plain{Title: "Sign in"}, Email: "mara@example.org", Error: "E-mail and password do not go together.", Next: "/roster"}),
		"sign-in-key":     page.SignInPage(page.SignIn{Plain: part.Plain{Title: "Sign in"}, Next: "/roster", Key: page.KeyAsk{Site: "run.example.org", Ask: "/sign-in/passkey/ask", Action: "/sign-in/passkey"}}),
		"sign-in-no-club": page.SignInPage(page.SignIn{Plain: part.Plain{Title: "Sign in"}, NoClub: true}),
		"landing":         page.LandingPage(page.Landing{Plain: part.Plain{Title: "Sign in"}, Name: "Ines Okafor", Club: "Riverside Beginners", Action: "/in/abc", Key: "KJH3K4J5HJ"}),
		"landing-coach":   page.LandingPage(page.Landing{Plain: part.Plain{Title: "Sign in"}, Name: "Mara Lund", Club: "Riverside Beginners", Action: "/in/abc", Key: "KJH3K4J5HJ", Coach: true, Errors: part.Errors{"password": "please take at least 10 characters"}}),
		"set-up":          page.SetUpPage(page.SetUp{Plain: part.Plain{Title: "Set up"}, Action: "/set-up/abc", Zone: "Nowhere", Errors: part.Errors{"zone": "please give a time zone like Europe/Lisbon"}, Mistakes: []part.Mistake{{Field: "zone", Words: "Time zone: please give one like Europe/Lisbon"}}, Zones: []string{"Europe/Lisbon", "Europe/Oslo"}}),
		"join":            page.JoinPage(page.Join{Plain: part.Plain{Title: "Come in"}, Action: "/join/abc", Club: "Riverside Beginners"}),
		"no-signal":       page.NoSignalPage(page.NoSignal{Plain: part.Plain{Title: "No signal"}, Today: "/today", Go: "/go"}),
		"failure":         page.FailurePage(page.Failure{Plain: part.Plain{Title: "There is nothing here"}, Title: "There is nothing here", Text: "The address may be mistyped, or what was here has gone.", Reference: "K3J-9QF"}),
		"failure-again": page.FailurePage(page.Failure{Plain: part.Plain{Title: "Halfhour cannot reach its records"}, Title: "Halfhour cannot reach its records", Text: "Nothing was stored just now. Try again in a minute; what you typed is not lost.",
			Reference: "K3J-9QF", Again: page.Again{Action: "/log", Fields: []page.Kept{{Name: "effort", Value: "4"}, {Name: "note", Value: "along the harbour"}}}}),
	}
	maps.Copy(pages, heartPages())
	maps.Copy(pages, joiningPages())
	maps.Copy(pages, aboutPages())
	maps.Copy(pages, postPages())
	maps.Copy(pages, rolePages())
	maps.Copy(pages, weekPages())
	maps.Copy(pages, strengthPages())
	maps.Copy(pages, aroundPages())
	maps.Copy(pages, calendarPages())
	maps.Copy(pages, paperPages())
	return pages
}

func newPerson() page.Person {
	return page.Person{Desk: desk("A new athlete", part.NoSection), Title: "A new athlete", Action: "/athletes", Back: "/roster", New: true, Key: "KJH3K4J5HK",
		Zone: "Europe/Lisbon", Zones: []string{"Europe/Lisbon", "Europe/Oslo"}, Phases: phaseOptions(), Phase: "B1",
		Name: "", BirthYear: "2015", Errors: part.Errors{"name": "please give a name", "birth_year": "Halfhour is made for adults: its rules rest on what is known of people of 18 and over"},
		Mistakes: []part.Mistake{{Field: "name", Words: "Name: please give a name"}, {Field: "birth_year", Words: "Year of birth: Halfhour is made for adults"}}}
}

func changePerson() page.Person {
	return page.Person{Desk: desk("Change", part.NoSection), Title: "Change what is known of Ines Okafor", Action: "/athletes/1", Back: "/athletes/1", Version: "7", Name: "Ines Okafor", Zone: "Europe/Lisbon", AWeek: "3", HeartOff: true}
}

func phaseOptions() []page.PhaseOption {
	return []page.PhaseOption{
		{Value: "B1", Stage: "Walking base", Words: "walk 15 min"}, {Value: "B2", Stage: "Walking base", Words: "walk 20 min"},
		{Value: "L1", Stage: "Walk-led", Words: "run 1 min, walk 4 min, six times"}, {Value: "L2", Stage: "Walk-led", Words: "run 1 min 30, walk 3 min 30, six times"},
		{Value: "R1", Stage: "Run-led", Words: "run 3 min 15, walk 2 min 45, five times"},
	}
}

func pathwayView() page.Pathway {
	phase := func(id, plan, run, rise, half, here string, blocks []part.Block) page.Phase {
		return page.Phase{ID: id, Plan: plan, Run: run, Rise: rise, Half: half, Here: here, Strip: part.Strip{State: part.Planned, Label: id + ": " + plan, Blocks: blocks}}
	}
	return page.Pathway{Desk: desk("Pathway", part.InPathway), Name: "The pathway", Ladders: []page.Ladder{{Stages: []page.Stage{
		{Name: "Walking base", Phases: []page.Phase{
			phase("B1", "walk 15 min", "none", "", "", "1 here", []part.Block{{Kind: part.Walk, Planned: 900}}),
			phase("B4", "walk 30 min", "none", "", "walk 27 min 30", "2 here", []part.Block{{Kind: part.Walk, Planned: 1800}}),
		}},
		{Name: "Walk-led", Phases: []page.Phase{
			phase("L1", "run 1 min, walk 4 min, six times", "6 min", "6 min more", "run 30 s, walk 4 min 30, six times", "3 here", times(6, 60, 240)),
			phase("L2", "run 1 min 30, walk 3 min 30, six times", "9 min", "3 min more", "run 1 min 15, walk 3 min 45, six times", "", l2),
			phase("L3", "run 2 min, walk 3 min, six times", "12 min", "3 min more", "run 1 min 45, walk 3 min 15, six times", "4 here, 1 on the half step", l3),
			phase("L4", "run 2 min 45, walk 3 min 15, five times", "13 min 45", "1 min 45 more", "run 2 min 15, walk 2 min 45, six times", "3 here", l4),
		}},
		{Name: "Run-led", Phases: []page.Phase{
			phase("R4", "run 7 min 45, walk 2 min 15, three times", "23 min 15", "2 min 15 more", "run 7 min 15, walk 2 min 45, three times", "2 here", r4),
			phase("R6", "run 20 min, walk 2 min 30, run 7 min 30", "27 min 30", "2 min 30 more", "run 16 min, walk 3 min, run 11 min", "", []part.Block{{Kind: part.Run, Planned: 1200}, {Kind: part.Walk, Planned: 150}, {Kind: part.Run, Planned: 450}}),
			phase("R7", "run 30 min", "30 min", "2 min 30 more", "run 25 min, walk 2 min, run 3 min", "1 here", []part.Block{{Kind: part.Run, Planned: 1800}}),
		}},
	}}}}
}

func club() page.Club {
	return page.Club{Desk: desk("Club", part.InClub), Name: "Riverside Beginners", Invite: "/club/invite", Keeping: keeping(), Calendar: "/club/calendar", Kept: "/club/about-me.json",
		Coaches:  []page.Coach{{Name: "Mara Lund", Email: "mara@example.org", Role: "owner", You: true}, {Name: "Tomé Sá", Email: "tome@example.org"}},
		Gone:     []page.Gone{{Name: "Luca Moretti", Href: "/athletes/12", Since: "left on 3 April", Back: "/athletes/12/return"}},
		Logins:   []page.Login{{Device: "Firefox on Linux", Since: "since 3 March", Seen: "seen today", This: true, Action: "/logins/1/end"}, {Device: "Safari on iPhone", Since: "since 1 April", Seen: "seen on 12 April", Action: "/logins/2/end"}},
		Password: page.PasswordForm{Action: "/club/password", Errors: part.Errors{"current": "That is not the present password."}},
		Keyring:  keyring(),
		Address:  page.AddressForm{Action: "/club/address", Key: "key-of-the-form", Now: "mara@example.org"}}
}

// newAddress is the change that the letter to a new address leads to.
func newAddress() page.NewAddress {
	return page.NewAddress{Desk: desk("Your e-mail address", part.InClub), Now: "mara@example.org", New: "mara.lund@a-rather-long-name.example.org", Action: "/club/address/code", Back: "/club"}
}

// asked is the form for it with a fault, where letters are files.
func asked() page.Club {
	v := club()
	v.Address.Email, v.Address.Error, v.Address.Files = "mara", "Please give an e-mail address like name@example.org.", true
	return v
}

// keyring is one of a fresh login: a passkey in use, one of another address, and one
// of which there is a copy.
func keyring() page.Keyring {
	return page.Keyring{
		Site: "run.example.org", Fresh: true, Name: "Firefox on Linux",
		Keys: []page.Key{
			{Name: "My phone", Since: "since 3 March, used today", Remove: "/club/passkeys/1/remove"},
			{Name: "Laptop", Since: "since 1 March, never used yet", Site: "halfhour.example.net", Remove: "/club/passkeys/2/remove"},
			{Name: "Key on the ring", Since: "since 1 March, used on 12 April", Copied: "since yesterday", Remove: "/club/passkeys/3/remove"},
		},
		Make: page.KeyAsk{Site: "run.example.org", Ask: "/club/passkeys/ask", Action: "/club/passkeys"},
	}
}

// stale asks to show once more who it is, and was told a wrong password.
func stale() page.Club {
	v := club()
	v.Password.Errors, v.Keyring.Fresh = nil, false
	for i := range v.Keyring.Keys {
		v.Keyring.Keys[i].Remove = ""
	}
	v.Keyring.Prove = page.ProveAsk{Action: "/club/proof", Error: "That is not the present password.",
		Key: page.KeyAsk{Site: "run.example.org", Ask: "/club/proof/ask", Action: "/club/proof/passkey"}}
	return v
}

// numbered is at an address where there are no passkeys.
func numbered() page.Club {
	v := club()
	v.Keyring = page.Keyring{Fresh: true}
	return v
}
