package page_test

import (
	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// aboutPages are the pages about what is kept of somebody.
func aboutPages() map[string]templ.Component {
	askedFor := aboutMe()
	askedFor.Asked, askedFor.KeepMe, askedFor.EraseAt = "That was yesterday. Everything about you goes for good on Monday, or as soon as a coach does it. Until then you can take it back.", "/me/erase/back", ""
	wrong := keptOf()
	wrong.Erase.Typed, wrong.Erase.Errors = "Ines", part.Errors{"name": "Please type the name as it stands above; nothing was erased."}
	wrong.Asked = "Ines asked to be erased yesterday. It happens by itself on Monday."
	untouched := aboutMe()
	untouched.Looks, untouched.Older = nil, nil
	return map[string]templ.Component{
		"me":           page.MePage(aboutMe()),
		"me-asked":     page.MePage(askedFor),
		"me-untouched": page.MePage(untouched),
		"me-erase":     page.AskErasePage(page.AskErase{Phone: part.Phone{Title: "Be erased?", Back: "/me"}, When: "on 21 April", Action: "/me/erase", Archive: "/me/archive", Back: "/me"}),
		"kept":         page.KeptPage(keptOf()),
		"kept-wrong":   page.KeptPage(wrong),
	}
}

func aboutMe() page.About {
	v := about()
	v.Phone, v.Archive, v.EraseAt = phone("About me", part.MeAt), "/me/archive", "/me/erase"
	v.Logins = []page.Login{
		{Device: "Safari on iPhone", Since: "since 3 March", Seen: "seen today", This: true, Action: "/me/logins/2/end"},
		{Device: "Samsung browser on Android", Since: "since yesterday", Seen: "seen yesterday", Action: "/me/logins/3/end"},
	}
	v.Stays = "When you leave the club, everything is kept for two years and then erased by itself."
	return v
}

func keptOf() page.About {
	v := about()
	v.Desk, v.Back, v.Archive = desk("What is kept of Ines Okafor", part.InRoster), "/athletes/1", "/athletes/1/archive"
	v.Stays = "Ines can ask for it under “About me”; you can do it here when Ines has asked you."
	v.Erase.Action = "/athletes/1/erase"
	return v
}

func about() page.About {
	return page.About{
		Name: "Ines Okafor",
		Facts: []page.Figure{
			{Name: "Name", Value: "Ines Okafor"}, {Name: "E-mail", Value: "ines.okafor@riverside-beginners.example.org"},
			{Name: "Year of birth", Value: "1985"}, {Name: "Time zone", Value: "Europe/Lisbon"}, {Name: "Here since", Value: "3 March"},
		},
		Kept:   []string{"38 sessions", "12 heart-rate recordings", "three notes by coaches", "nine decisions by coaches", "two sign-ins on devices, ended ones too", "14 lines about who looked"},
		Agreed: []string{"That answers about health are kept, and who sees them: agreed to on 3 March.", "What is kept, who sees it and for how long: agreed to on 3 March, taken back yesterday."},
		Looks: []page.Month{
			{Name: "April", Lines: []string{"Mara Lund looked at your page on three days, single sessions on one day and your heart rate on one day.", "Tomé Sá looked at your page on one day."}},
			{Name: "March", Lines: []string{"Mara Lund looked at your page on five days."}},
		},
		Older: []page.Month{{Name: "December 2025", Lines: []string{"Mara Lund looked at your page on one day."}}},
	}
}

func keeping() page.Keeping {
	return page.Keeping{
		Action: "/club/keeping", Months: "0", Errors: part.Errors{"keep_months": "Please choose 1 to 120 months."},
		Words:   "Whoever has left is kept for two years; then everything about them is erased by itself. It is announced here a month before.",
		Asking:  []page.Ending{{Name: "Salma Haddad", Href: "/athletes/9/kept", When: "on Monday"}},
		Ending:  []page.Ending{{Name: "Luca Moretti", Href: "/athletes/12/kept", When: "on 3 May"}},
		Never:   []page.Ending{{Name: "Una Vasić", Href: "/athletes/14/kept", When: "on 9 May"}},
		Tallies: []string{"2025: four people with 112 sessions and 2104 minutes of running; two had run for thirty minutes without a break."},
	}
}
