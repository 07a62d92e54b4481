package page_test

import (
	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// rolePages are the pages about who is who, whose athlete somebody is, and devices.
func rolePages() map[string]templ.Component {
	news, today := morning(), today()
	news.News = page.News{
		Logins: []page.NewLogin{
			{Words: "New login: Firefox on Android, today 14:20.", Claim: "/logins/7/mine", End: "/logins/7/end"},
			{Words: "New login: Safari on iPad, yesterday 21:05.", Claim: "/logins/6/mine", End: "/logins/6/end"},
		},
		Handed: []page.Handed{{Name: "Solveig Aune-Bergström", Href: "/athletes/9", Words: "Mara Lund handed Solveig Aune-Bergström over to you yesterday.", Seen: "/athletes/9/taken"}},
	}
	news.News.Address = page.AddressNews{Words: "Your e-mail address was changed to mara@example.org, today 14:20.", Seen: "/club/address/seen", Club: "/club"}
	news.Whose = page.Whose{Mine: "/roster?whose=mine", All: "/roster", Own: true}
	today.News = page.News{Logins: []page.NewLogin{{Words: "New login: Samsung browser on Android, today 14:20.", End: "/me/logins/7/end"}}}
	handed := portrait()
	handed.Hand = page.HandOver{
		Whose: "With Bo Halvorsen.", Action: "/athletes/1/hand", Coach: "2", Error: "Please choose a coach of the club; a deputy has no athletes.",
		To: []part.Option{{Value: "0", Words: "everybody"}, {Value: "1", Words: "Mara Lund"}, {Value: "2", Words: "Bo Halvorsen"}},
	}
	owned := club()
	owned.Coaches = []page.Coach{
		{Name: "Mara Lund", Email: "mara@example.org", Role: "owner", You: true, Href: "/club/coaches/1"},
		{Name: "Bo Halvorsen", Email: "bo@example.org", Href: "/club/coaches/2"},
		{Name: "Kim Oyelaran", Email: "kim@example.org", Role: "deputy", Href: "/club/coaches/3"},
	}
	owned.Settings = page.Settings{Action: "/club/settings", Club: "Riverside Beginners", Zone: "Nowhere", Zones: []string{"Europe/Lisbon"}, OwnOnly: true,
		Errors: part.Errors{"zone": "Please choose a time zone such as Europe/Lisbon."}, Mistakes: []part.Mistake{{Field: "zone", Words: "Time zone: Please choose a time zone such as Europe/Lisbon."}}}
	member := page.Member{
		Desk: desk("Bo Halvorsen", part.InClub), Name: "Bo Halvorsen", Email: "bo@example.org", Role: "coach", Give: "/club/coaches/2/role", Back: "/club",
		End: page.Confirm{Action: "/club/coaches/2/end", Button: "Bo Halvorsen leaves the club", Words: "Every login ends."},
	}
	stale := member
	stale.Prove = "/club#passkeys"
	last := page.Member{Desk: desk("Mara Lund", part.InClub), Name: "Mara Lund", Email: "mara@example.org", Role: "owner", You: true, Last: true, Back: "/club"}
	return map[string]templ.Component{
		"roster-news": page.RosterPage(news), "today-news": page.TodayPage(today), "athlete-hand": page.AthletePage(handed),
		"club-owner": page.ClubPage(owned), "member": page.MemberPage(member), "member-last": page.MemberPage(last), "member-prove": page.MemberPage(stale),
	}
}
