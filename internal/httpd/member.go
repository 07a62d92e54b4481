package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// memberPath is where an owner sees to a coach.
func memberPath(id roster.CoachID) string { return part.ClubAt + "/coaches/" + idText(id) }

// memberPage is where an owner sees to a coach.
func (s *server) memberPage(w http.ResponseWriter, r *http.Request) error {
	return s.showMember(w, r, http.StatusOK, "")
}

func (s *server) showMember(w http.ResponseWriter, r *http.Request, status int, wrong string) error {
	v := visitorOf(r)
	id, err := idIn[roster.CoachID](r, "coach")
	if err != nil {
		return err
	}
	coaches, err := s.Access.Coaches(r.Context(), v.Club.ID)
	if err != nil {
		return err
	}
	var member *roster.Coach
	owners := 0
	for i := range coaches {
		if coaches[i].ID == id {
			member = &coaches[i]
		}
		if coaches[i].Owner {
			owners++
		}
	}
	if member == nil {
		return fault.New(fault.NotFound, "")
	}
	view := page.Member{
		Desk: s.desk(r, member.Name, part.InClub), Name: member.Name, Email: member.Email, Role: string(access.RoleOf(member)),
		You: id == v.Coach.ID, Last: member.Owner && owners == 1, Give: memberPath(id) + "/role", Prove: s.proveFirst(v), Back: part.ClubAt, Wrong: wrong,
		End: page.Confirm{
			Action: memberPath(id) + "/end", Button: member.Name + " leaves the club",
			Words: "Every login and link of " + member.Name + " ends at once, and the address and the password are forgotten. What was decided and noted stays, with the name. The athletes become everybody's.",
		},
	}
	return s.page(w, r, status, page.MemberPage(view))
}

// proveFirst is where an owner whose sign-in is a while ago shows who it is; empty
// where it is fresh.
func (s *server) proveFirst(v *access.Visitor) string {
	if s.Access.Fresh(v) {
		return ""
	}
	return part.ClubAt + "#passkeys"
}

// giveRole makes a coach an owner, a coach or a deputy.
func (s *server) giveRole(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.CoachID](r, "coach")
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	freed, err := s.Access.GiveRole(r.Context(), visitorOf(r), id, access.Role(f.text("role")))
	switch {
	case f.take(err):
		return s.showMember(w, r, http.StatusUnprocessableEntity, f.faultAt("role"))
	case err != nil:
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=role&freed="+strconv.Itoa(int(freed)))
	return nil
}

// endMembership lets a coach go; who ends the own one is signed out.
func (s *server) endMembership(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.CoachID](r, "coach")
	if err != nil {
		return err
	}
	freed, err := s.Access.EndMembership(r.Context(), visitorOf(r), id)
	if err != nil {
		return err
	}
	if id == visitorOf(r).Coach.ID {
		s.dropCookie(w)
		s.redirect(w, r, part.SignInAt)
		return nil
	}
	s.redirect(w, r, part.ClubAt+"?said=member-ended&freed="+strconv.Itoa(int(freed)))
	return nil
}

// freedWords say how many athletes became everybody's, as the address has it.
func freedWords(r *http.Request) string {
	switch n, err := strconv.Atoi(r.URL.Query().Get("freed")); {
	case err != nil || n < 1:
		return ""
	case n == 1:
		return " One athlete is everybody's now: hand over whom somebody is to see to."
	default:
		return " " + wording.Capital(wording.Number(n)) + " athletes are everybody's now: hand over whom somebody is to see to."
	}
}

func settingsShown(club *roster.Club) page.Settings {
	return page.Settings{Action: "/club/settings", Club: club.Name, Zone: club.Zone, Zones: zones(), OwnOnly: club.OwnOnly, Minors: club.Minors}
}

// changeClub stores the club's name, zone, who sees whom, and whether minors are taken.
func (s *server) changeClub(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	club := clubOf(r)
	club.Name, club.Zone, club.OwnOnly, club.Minors = f.text("club"), f.text("zone"), f.ticked("own_only"), f.ticked("minors")
	err = s.Access.ChangeClub(r.Context(), visitorOf(r), club)
	switch {
	case f.take(err):
		return s.showClub(w, r, http.StatusUnprocessableEntity, nil, &form{}, func(v *page.Club) {
			v.Settings = settingsShown(&club)
			v.Settings.Errors, v.Settings.Mistakes = f.errors(), f.mistakes(map[string]string{"club": "Name", "zone": "Time zone"})
		})
	case err != nil:
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=club-changed")
	return nil
}
