package mail

import (
	"time"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/web/letter"
)

// noteOf puts a letter into words. There is nothing of anybody's training or health
// in them: mail is read by more machines than one.
func noteOf(m *post.Mail) letter.Note {
	var n letter.Note
	switch m.Kind {
	case post.WayIn:
		n = wayIn(m)
	case post.Invitation:
		n = invitation(m)
	case post.CoachInvitation, post.DeputyInvitation:
		n = coachInvitation(m)
	case post.NewDevice:
		n = newDevice(m)
	case post.NewAddress:
		n = newAddress(m)
	case post.OldAddress:
		n = oldAddress(m)
	}
	if m.Name != "" {
		n.Hello = "Hello " + m.Name + ","
	}
	return n
}

// wayIn answers whoever asked for a new password or a new sign-in link.
func wayIn(m *post.Mail) letter.Note {
	n := letter.Note{
		Title:  "Your way in to " + m.Club.Name,
		Lines:  []string{"Somebody asked for a way in to " + m.Club.Name + " on Halfhour with this e-mail address. If it was you, here it is. The link works once, until " + when(m, m.Until) + "."},
		Button: letter.Link{Words: "Choose a new password", Href: m.Link},
		After:  []string{"If it was not you, there is nothing to do. Your password stays as it is, and nobody comes in without this link."},
	}
	if m.Athlete != 0 {
		n.Button.Words = "Sign in on this phone"
		n.Lines = append(n.Lines, "Open it on the phone you train with: it signs in that phone.")
		n.After = []string{"If it was not you, there is nothing to do. Nobody comes in without this link."}
	}
	n.Foot = "Halfhour sent this because somebody typed this address under “Forgotten?” on " + m.Here + "."
	return n
}

// invitation brings an athlete the sign-in link from the coach.
func invitation(m *post.Mail) letter.Note {
	return letter.Note{
		Title: "Your way in to " + m.Club.Name,
		Lines: []string{
			m.By + " of " + m.Club.Name + " sends you your private way in to Halfhour, where you find your sessions and say how they went.",
			"Open the link on the phone you train with. It works once, until " + when(m, m.Until) + ", and keeps you signed in there; there is no password.",
		},
		Button: letter.Link{Words: "Sign in on this phone", Href: m.Link},
		After:  []string{"The link is for you alone. If you do not know what this is about, leave it unopened: nothing happens then."},
		Foot:   m.By + " sent this from " + m.Here + ".",
	}
}

// coachInvitation asks somebody to coach with the club.
func coachInvitation(m *post.Mail) letter.Note {
	as := "to coach at " + m.Club.Name + " on Halfhour."
	if m.Kind == post.DeputyInvitation {
		as = "to help as a deputy at " + m.Club.Name + " on Halfhour. Deputies lead sessions and do not see health answers."
	}
	return letter.Note{
		Title: "Coach with " + m.Club.Name,
		Lines: []string{
			m.By + " invites you " + as,
			"The link works once, until " + when(m, m.Until) + ". You give your name and choose a password there.",
		},
		Button: letter.Link{Words: "Come in", Href: m.Link},
		After:  []string{"If you do not know what this is about, leave the link unopened: nothing happens then."},
		Foot:   m.By + " sent this from " + m.Here + ".",
	}
}

// newDevice tells a coach of a login where there was none before.
func newDevice(m *post.Mail) letter.Note {
	device := m.Device
	if device == "" {
		device = "a device that does not say what it is"
	}
	return letter.Note{
		Title:  "A new device is signed in to " + m.Club.Name,
		Lines:  []string{"Somebody signed in with your account on a device where you were not signed in before: " + device + ", on " + when(m, m.Since) + "."},
		Button: letter.Link{Words: "Look at your logins", Href: m.Here + "/club"},
		After: []string{
			"If it was you, there is nothing to do.",
			"If it was not you, end that login on the page Club and change your password there: your other logins end with it.",
		},
		Foot: "Halfhour sent this from " + m.Here + " because you coach there.",
	}
}

// newAddress asks a coach to confirm the address that the letter goes to.
func newAddress(m *post.Mail) letter.Note {
	return letter.Note{
		Title: "Your new e-mail address with " + m.Club.Name,
		Lines: []string{
			"You asked to sign in to " + m.Club.Name + " on Halfhour with this address from now on. Open the link where you are signed in, and press the button there.",
			"The link works once, until " + when(m, m.Until) + ". Until you press the button, your address stays as it is.",
		},
		Button: letter.Link{Words: "Look at the change", Href: m.Link},
		After:  []string{"If you do not know what this is about, leave it: nothing happens then, and nobody comes in with this link alone."},
		Foot:   "Halfhour sent this from " + m.Here + " because a coach typed this address there.",
	}
}

// oldAddress tells a coach at the address before that another one counts now.
func oldAddress(m *post.Mail) letter.Note {
	return letter.Note{
		Title: "Your e-mail address with " + m.Club.Name + " was changed",
		Lines: []string{"On " + when(m, m.MadeAt) + " the address with which you sign in to Halfhour was changed to " + m.Present + ". Letters go there from now on. Your password is the same as before."},
		After: []string{
			"If it was you, there is nothing to do.",
			"If it was not you, tell an owner of " + m.Club.Name + " or whoever runs this Halfhour at once. If you can still sign in, change your password on the page Club: every other login ends with it.",
		},
		Foot: "Halfhour sent this from " + m.Here + " because you coach there.",
	}
}

// when is an instant as people of the club say it.
func when(m *post.Mail, at time.Time) string {
	return at.In(m.Club.Place()).Format("Monday 2 January, 15:04")
}
