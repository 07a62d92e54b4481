package httpd

import (
	"net/http"

	"halfhour.app/halfhour/web/part"
)

// accessNotice is what is said after something was done about logins, coaches and
// whose athlete somebody is.
func accessNotice(r *http.Request) part.Notice {
	switch r.URL.Query().Get("said") {
	case "ended":
		return part.Notice{Text: "That login has ended."}
	case "ended-strange":
		return part.Notice{Warn: true, Text: "That login has ended. If it was somebody else, choose a new password below: your other logins end with it."}
	case "ended-strange-athlete":
		return part.Notice{Warn: true, Text: "That login has ended. If it was somebody else, tell your coach: a new sign-in link ends one that went astray."}
	case "claimed":
		return part.Notice{Text: "Good, that device is known now."}
	case "club-changed":
		return part.Notice{Text: "The club is changed. It holds at once."}
	case "role":
		return part.Notice{Text: "The role is given. It holds at once." + freedWords(r)}
	case "member-ended":
		return part.Notice{Text: "The membership has ended, and with it every login. The name stays with what was decided and noted." + freedWords(r)}
	case "handed":
		return part.Notice{Text: "Handed over. The new coach reads of it on the roster."}
	case "handed-out-of-sight":
		return part.Notice{Text: "Handed over. The new coach reads of it on the roster; you no longer see this athlete."}
	case "unhanded":
		return part.Notice{Text: "Everybody's now: every coach of the club."}
	case "taken":
		return part.Notice{Text: "Seen."}
	case "password":
		return part.Notice{Text: "You have a new password. Your other logins have ended."}
	}
	return part.Notice{}
}
