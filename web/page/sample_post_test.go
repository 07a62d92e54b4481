package page_test

import (
	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// postPages are those about mail.
func postPages() map[string]templ.Component {
	byMail := club()
	byMail.Invited, byMail.ByMail, byMail.Mail = link("a new coach"), inviting(), "/mail"
	added := *link("Ines Okafor")
	added.Mail = page.MailTo{Action: "/athletes/1/link/mail", Key: "KJH3K4J5HM", To: "ines.okafor.with.a.long.address@example.org"}
	return map[string]templ.Component{
		"forgotten":      page.ForgottenPage(forgotten()),
		"forgotten-sent": page.ForgottenPage(page.Forgotten{Plain: part.Plain{Title: "A way in by mail", Notice: part.Notice{Text: "If somebody here has that address, a letter is on its way to it. The link in it works once, for an hour."}}, Action: "/sign-in/forgotten"}),
		"added-mail":     page.AddedPage(page.Added{Desk: desk("A new link", part.InRoster), Title: "A new sign-in link for Ines Okafor", Link: added, Href: "/athletes/1"}),
		"club-mail":      page.ClubPage(byMail),
		"mailbox":        page.MailboxPage(page.Mailbox{Desk: desk("Letters", part.InClub), Letters: []page.Letter{someLetter()}}),
		"stop-mail":      page.StopMailPage(stopMail()),
		"mail-stopped":   page.StopMailPage(page.StopMail{Plain: part.Plain{Title: "No more of these"}, Title: "No more of these", Words: "You get no weekly letter of Riverside Beginners any more.", Action: "/letters/stop/0f0f?of=weekly", Do: "back", Button: "Let them come again", Stopped: true}),
		"mailbox-empty":  page.MailboxPage(page.Mailbox{Desk: desk("Letters", part.InClub)}),
		"letter": page.LetterPage(page.OneLetter{Desk: desk("Your way in", part.InClub), Letter: someLetter(), Back: "/mail", Lines: []page.LetterLine{
			{Words: "Hello Ines Okafor,"}, {Words: "Mara Lund of Riverside Beginners sends you your private way in to Halfhour."},
			{Words: added.Address, Href: "/in/kX3kX3kX3"}, {Words: "The link is for you alone."},
		}}),
	}
}

func forgotten() page.Forgotten {
	return page.Forgotten{Plain: part.Plain{Title: "A way in by mail"}, Action: "/sign-in/forgotten", Email: "mara@", Files: true, Errors: part.Errors{"email": "Please give an e-mail address like name@example.org."}}
}

func stopMail() page.StopMail {
	return page.StopMail{
		Plain: part.Plain{Title: "Stop word of warning signs?"}, Title: "Stop word of warning signs?", Action: "/letters/stop/0f0f?of=at-once", Do: "stop", Button: "Stop word of warning signs",
		Words: "When an athlete of Riverside Beginners tells of a warning sign, or of pain that stops running, a letter says so at once.", More: "The roster shows it all the same. Somebody should look there every day.",
	}
}

func inviting() page.MailTo {
	return page.MailTo{Action: "/club/invitations/mail", Key: "KJH3K4J5HN", Email: "tome@", Errors: part.Errors{"email": "Please give an e-mail address like name@example.org."}}
}

func someLetter() page.Letter {
	return page.Letter{Href: "/mail/20260414T050000Z-7.eml", Subject: "Your way in to Riverside Beginners", To: "ines@example.org", At: "today, 06:00"}
}
