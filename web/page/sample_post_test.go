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
	byMail.Gentle = page.Gentle{Action: "/club/gentle", On: true, Words: "It has been quiet for a little while.\n\nCome by when you like.", Errors: part.Errors{"gentle_words": "Please keep it to 2000 characters."}}
	byMail.Coaches[len(byMail.Coaches)-1].Refused = "mail was refused on Tuesday"
	refused, none := morning(), lettersTo()
	refused.News.Refused = "Mail to mara.lund@riverside-beginners.example.org was refused yesterday, so your letters wait."
	none.Past, none.Now.Wrong, none.Refused, none.Form.Mistakes, none.Form.Errors = nil, "", "", nil, nil
	added := *link("Ines Okafor")
	added.Mail = page.MailTo{Action: "/athletes/1/link/mail", Key: "KJH3K4J5HM", To: "ines.okafor.with.a.long.address@example.org"}
	return map[string]templ.Component{
		"forgotten":      page.ForgottenPage(forgotten()),
		"forgotten-sent": page.ForgottenPage(page.Forgotten{Plain: part.Plain{Title: "A way in by mail", Notice: part.Notice{Text: "If somebody here has that address, a letter is on its way to it. The link in it works once, for an hour."}}, Action: "/sign-in/forgotten"}),
		"added-mail":     page.AddedPage(page.Added{Desk: desk("A new link", part.InRoster), Title: "A new sign-in link for Ines Okafor", Link: added, Href: "/athletes/1"}),
		"club-mail":      page.ClubPage(byMail),
		"mailbox":        page.MailboxPage(page.Mailbox{Desk: desk("Letters", part.InClub), Letters: []page.Letter{someLetter()}}),
		"letters":        page.LettersPage(lettersTo()),
		"letters-none":   page.LettersPage(none),
		"letter-sent":    page.SentLetterPage(page.SentLetter{Desk: wishDesk("The week at Riverside Beginners"), Subject: "The week at Riverside Beginners: three decide", Sent: "Sent on Sunday, 18:00.", Gone: "It told of somebody who was erased since. That is gone from it; the counts are as they were.", Letter: page.Frame{Title: "The letter as it was sent", HTML: "/letter/7/whole", Plain: "/letter/7/whole?as=text"}, Back: "/letter"}),
		"roster-refused": page.RosterPage(refused),
		"me-mails":       page.MePage(meWithMail()),
		"stop-mail":      page.StopMailPage(stopMail()),
		"mail-stopped":   page.StopMailPage(page.StopMail{Plain: part.Plain{Title: "No more of these"}, Title: "No more of these", Words: "You get no weekly letter from Riverside Beginners any more.", Action: "/letters/stop/0f0f?of=weekly", Do: "back", Button: "Let them come again", Stopped: true}),
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

func wishDesk(title string) part.Desk {
	d := desk(title, part.InClub)
	d.Loads = []string{part.LetterStyle}
	return d
}

// lettersTo is a page on which everything is wrong that can be.
func lettersTo() page.Letters {
	return page.Letters{
		Desk: wishDesk("Letters to you"), Due: "The weekly letter waits until your mail arrives again.", Refused: "Mail to mara.lund@riverside-beginners.example.org was refused yesterday, so no letter goes there by itself.",
		Form: page.LetterForm{
			Action: "/letter", On: true, Day: "7", Hour: "18", Zone: "Europe/Lisbon", Whose: "own", Detail: "initials", AtOnce: true,
			Days: []part.Option{{Value: "1", Words: "Monday"}, {Value: "7", Words: "Sunday"}}, Hours: []part.Option{{Value: "17", Words: "17:00"}, {Value: "18", Words: "18:00"}},
			Errors:   part.Errors{"day": "Please choose a day of the week.", "hour": "Please choose an hour from 0 to 23.", "detail": "Please choose how much a letter tells."},
			Mistakes: []part.Mistake{{Field: "day", Words: "Day: Please choose a day of the week."}, {Field: "hour", Words: "Hour: Please choose an hour from 0 to 23."}, {Field: "detail", Words: "How much it tells: Please choose how much a letter tells."}},
		},
		Preview: page.Frame{Title: "The weekly letter as it would be now", HTML: "/letter/preview", Plain: "/letter/preview?as=text"},
		Now:     page.SendNow{Action: "/letter/now", Key: "KJH3K4J5HM", To: "mara.lund@riverside-beginners.example.org", Wrong: "That is six letters within an hour. The next one can be sent a little later."},
		Past: []page.PastLetter{
			{Words: "Asked for today, 06:00", Note: "on its way"}, {Words: "The week of 6 April", Note: "sent on Sunday, 18:00", Href: "/letter/7"},
			{Words: "The week of 30 March", Note: "not sent: there was no news"},
		},
	}
}

func meWithMail() page.About {
	v := aboutMe()
	v.Mails = page.Mails{Action: "/me/letters", Where: "Mail to ines.okafor@riverside-beginners.example.org was refused on Tuesday, so none comes. Tell your coach an address that works.", Warn: true, Decisions: true, Gentle: true}
	return v
}

func stopMail() page.StopMail {
	return page.StopMail{
		Plain: part.Plain{Title: "Stop letters about warning signs?"}, Title: "Stop letters about warning signs?", Action: "/letters/stop/0f0f?of=at-once", Do: "stop", Button: "Stop letters about warning signs",
		Words: "When an athlete of Riverside Beginners tells of a warning sign, or of pain that stops running, a letter says so at once.", More: "The roster shows it all the same. Somebody should look there every day.",
	}
}

func inviting() page.MailTo {
	return page.MailTo{Action: "/club/invitations/mail", Key: "KJH3K4J5HN", Email: "tome@", Errors: part.Errors{"email": "Please give an e-mail address like name@example.org."}}
}

func someLetter() page.Letter {
	return page.Letter{Href: "/mail/20260414T050000Z-7.eml", Subject: "Your way in to Riverside Beginners", To: "ines@example.org", At: "today, 06:00"}
}
