package httpd

import (
	"net/http"
	"slices"
	"strings"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"halfhour.app/halfhour/web/part"
)

// handler answers one request, or says why it cannot; it writes nothing before
// it is sure to succeed.
type handler func(s *server, w http.ResponseWriter, r *http.Request) error

// audience is who may call a route. Whose athlete it is, the use cases ask: what
// belongs to another club is not found.
type audience uint8

// The audiences.
const (
	unasked audience = iota // nobody is asked who they are: works without the database
	anybody                 // signed in or not
	athlete                 // an athlete, about himself or herself
	coach                   // a coach or a deputy, about the own club
	keeper                  // a coach, and no deputy: what is told about health, and who comes and goes
	owner                   // a coach who may invite coaches
)

// route is one line of the table.
type route struct {
	method  string
	pattern string
	may     audience
	serve   handler
}

const (
	get  = http.MethodGet
	post = http.MethodPost
)

// routes is the whole web app, line by line.
func routes() []route {
	return slices.Concat(doors(), joining(), coaching(), belonging(), address(), training(), weekly(), elsewhere(), lifting(), hearts(), keeping(), mailing(), wishing())
}

// doors are how people come in.
func doors() []route {
	return []route{
		{get, "/", anybody, (*server).home},
		{get, "/static/{hash}/*", unasked, (*server).asset},
		{get, part.ManifestAt, unasked, (*server).manifestFile},
		{get, part.WorkerAt, unasked, (*server).worker},
		{get, part.NoSignalAt, unasked, (*server).noSignal},
		{get, "/sign-in", anybody, (*server).signInPage},
		{post, "/sign-in", anybody, (*server).signIn},
		{post, keyInAt + "/ask", anybody, (*server).askKeyIn},
		{post, keyInAt, anybody, (*server).keyIn},
		{post, "/sign-out", anybody, (*server).signOut},
		{get, "/in/{code}", anybody, (*server).enterPage},
		{post, "/in/{code}", anybody, (*server).enter},
		{get, "/set-up/{code}", anybody, (*server).setUpPage},
		{post, "/set-up/{code}", anybody, (*server).setUp},
		{get, "/join/{code}", anybody, (*server).joinPage},
		{post, "/join/{code}", anybody, (*server).join},
	}
}

// joining is how somebody comes in before the first step: consent, questions, a
// first walk; by themselves, or with a coach beside them.
func joining() []route {
	var lines []route
	for _, of := range [...]struct {
		base string
		may  audience
	}{{"", athlete}, {"/athletes/{athlete}", keeper}} {
		at := of.base + part.JoiningAt
		lines = append(lines,
			route{get, of.base + "/health", of.may, (*server).healthPage},
			route{get, at, of.may, (*server).joiningPage},
			route{get, at + "/consent", of.may, (*server).consentPage},
			route{post, at + "/consent", of.may, (*server).agree},
			route{post, at + "/withdraw", of.may, (*server).withdraw},
			route{get, at + "/walk", of.may, (*server).walkPage},
			route{post, at + "/walk", of.may, (*server).walked},
			route{get, at + "/paper", of.may, (*server).paperPage},
			route{get, at + "/{section}", of.may, (*server).sectionPage},
			route{post, at + "/{section}", of.may, (*server).answer},
		)
	}
	return append(lines,
		route{get, "/athletes/{athlete}/review", keeper, (*server).reviewPage},
		route{post, "/athletes/{athlete}/review", keeper, (*server).confirm},
		route{post, "/athletes/{athlete}/review/look", keeper, (*server).look},
		route{post, "/athletes/{athlete}/clearance", keeper, (*server).clear},
	)
}

// coaching is the coach's morning, and an athlete's training as a coach sees it and
// decides on it.
func coaching() []route {
	return []route{
		{get, "/roster", coach, (*server).rosterPage},
		{post, "/roster", coach, (*server).settle},
		{post, "/decisions/undo", coach, (*server).undo},
		{get, "/pathway", coach, (*server).pathwayPage},
		{get, routineAt, keeper, (*server).routinePage},
		{post, routineAt, keeper, (*server).editRoutine},
		{post, oursAt, keeper, (*server).resetRoutine},
		{post, movementsAt, keeper, (*server).addMovement},
		{post, movementsAt + "/{movement}/away", keeper, (*server).putAway},
		{get, clubWeatherAt, coach, (*server).clubWeatherPage},
		{post, clubWeatherAt, coach, (*server).tellClubWeather},
		{get, "/athletes/{athlete}", coach, (*server).athletePage},
		{post, "/athletes/{athlete}/decide", coach, (*server).decideOne},
		{get, "/athletes/{athlete}/log", coach, (*server).logPage},
		{post, "/athletes/{athlete}/log", coach, (*server).log},
		{get, "/athletes/{athlete}/sessions", coach, (*server).mine},
		{get, "/athletes/{athlete}/sessions/{session}", coach, (*server).correctPage},
		{post, "/athletes/{athlete}/sessions/{session}", coach, (*server).correct},
		{get, "/athletes/{athlete}/sessions/{session}/delete", coach, (*server).deletePage},
		{post, "/athletes/{athlete}/sessions/{session}/delete", coach, (*server).remove},
		{get, "/athletes/{athlete}/sessions/{session}/stopped", coach, (*server).stopped},
	}
}

// belonging is the club: who is here, and who is away. A sign-in link opens what
// the athlete sees, answers about health included, so that a deputy makes none; nor
// does one change the address to which such a link may go.
func belonging() []route {
	return []route{
		{get, "/club", coach, (*server).clubPage},
		{post, "/club/password", coach, (*server).changePassword},
		{post, proofAt, coach, (*server).prove},
		{post, proofAt + "/ask", coach, (*server).askProof},
		{post, proofAt + "/passkey", coach, (*server).proveByKey},
		{post, keysAt + "/ask", coach, (*server).askNewKey},
		{post, keysAt, coach, (*server).addKey},
		{post, keysAt + "/{passkey}/remove", coach, (*server).removeKey},
		{post, "/club/invitations", owner, (*server).invite},
		{post, "/club/settings", owner, (*server).changeClub},
		{get, "/club/coaches/{coach}", owner, (*server).memberPage},
		{post, "/club/coaches/{coach}/role", owner, (*server).giveRole},
		{post, "/club/coaches/{coach}/end", owner, (*server).endMembership},
		{post, "/logins/{login}/end", coach, (*server).endLogin},
		{post, "/logins/{login}/mine", coach, (*server).claimLogin},
		{post, "/me/logins/{login}/end", athlete, (*server).endOwnLogin},
		{post, "/me/logins/{login}/mine", athlete, (*server).claimLogin},
		{get, "/athletes/new", keeper, (*server).newPerson},
		{post, "/athletes", keeper, (*server).addPerson},
		{get, "/athletes/{athlete}/edit", keeper, (*server).editPerson},
		{post, "/athletes/{athlete}/edit", keeper, (*server).changePerson},
		{post, "/athletes/{athlete}/link", keeper, (*server).makeLink},
		{post, "/athletes/{athlete}/logins/{login}/end", coach, (*server).endLogin},
		{post, "/athletes/{athlete}/hand", keeper, (*server).handOver},
		{post, "/athletes/{athlete}/taken", keeper, (*server).takeOver},
		{post, "/athletes/{athlete}/left", keeper, (*server).left},
		{post, "/athletes/{athlete}/returned", keeper, (*server).returned},
		{post, "/athletes/{athlete}/notes", coach, (*server).addNote},
		{get, "/athletes/{athlete}/leave", coach, (*server).awayPage},
		{post, "/athletes/{athlete}/leave", coach, (*server).addAway},
		{get, "/athletes/{athlete}/leave/{leave}/back", coach, (*server).comingBack},
		{post, "/athletes/{athlete}/leave/{leave}/back", coach, (*server).endAway},
		{post, "/athletes/{athlete}/leave/{leave}/never", coach, (*server).neverAway},
	}
}

// training is an athlete's own.
func training() []route {
	return []route{
		{get, "/today", athlete, (*server).todayPage},
		{get, phoneAt + "week", athlete, (*server).phoneWeek},
		{get, "/go", athlete, (*server).goPage},
		{get, warmUpAt, athlete, (*server).warmUpPage},
		{get, coolDownAt, athlete, (*server).coolDownPage},
		{get, weatherAt, athlete, (*server).weatherPage},
		{post, weatherAt, athlete, (*server).tellWeather},
		{post, callOffAt, athlete, (*server).callOff},
		{get, "/log", athlete, (*server).logPage},
		{post, "/log", athlete, (*server).log},
		{get, "/sessions", athlete, (*server).mine},
		{get, "/sessions/{session}", athlete, (*server).correctPage},
		{post, "/sessions/{session}", athlete, (*server).correct},
		{get, "/sessions/{session}/delete", athlete, (*server).deletePage},
		{post, "/sessions/{session}/delete", athlete, (*server).remove},
		{post, "/sessions/{session}/morning", athlete, (*server).morningAfter},
		{get, "/sessions/{session}/stopped", athlete, (*server).stopped},
		{get, "/away", athlete, (*server).awayPage},
		{post, "/away", athlete, (*server).addAway},
		{get, "/away/{leave}/back", athlete, (*server).comingBack},
		{post, "/away/{leave}/back", athlete, (*server).endAway},
		{post, "/away/{leave}/never", athlete, (*server).neverAway},
	}
}

// weekly is the whole week: an athlete's own, one that a coach sees to, everybody's.
// A deputy moves sessions; what is the same each week, coaches set.
func weekly() []route {
	return []route{
		{get, part.WeekAt, athlete, (*server).ownWeek},
		{post, part.WeekAt + "/move", athlete, (*server).moveSession},
		{post, part.WeekAt + "/habits", athlete, (*server).setHabits},
		{post, part.WeekAt + "/pins", athlete, (*server).fixDay},
		{post, part.WeekAt + "/pins/{pin}/lift", athlete, (*server).liftPin},
		{get, "/athletes/{athlete}/week", coach, (*server).ownWeek},
		{post, "/athletes/{athlete}/week/move", coach, (*server).moveSession},
		{post, "/athletes/{athlete}/week/habits", keeper, (*server).setHabits},
		{post, "/athletes/{athlete}/week/pins", keeper, (*server).fixDay},
		{post, "/athletes/{athlete}/week/pins/{pin}/lift", keeper, (*server).liftPin},
		{get, part.WeeksAt, coach, (*server).allWeeks},
		{get, part.GroupsAt, coach, (*server).groupsPage},
		{post, part.GroupsAt, keeper, (*server).addGroup},
		{post, part.GroupsAt + "/{group}", keeper, (*server).changeGroup},
		{post, part.GroupsAt + "/{group}/remove", keeper, (*server).removeGroup},
		{post, "/holidays", keeper, (*server).addHoliday},
		{post, "/holidays/{holiday}/remove", keeper, (*server).removeHoliday},
	}
}

// lifting is strength training. A deputy sees it and enters sessions; programmes and
// exercises are a coach's.
func lifting() []route {
	return []route{
		{get, strengthAt, athlete, (*server).liftPage},
		{post, strengthAt, athlete, (*server).logLift},
		{get, strengthAt + "/gear", athlete, (*server).gearPage},
		{post, strengthAt + "/gear", athlete, (*server).setGear},
		{get, "/sessions/{session}/sets", athlete, (*server).setsPage},
		{post, "/sessions/{session}/sets", athlete, (*server).correctSets},
		{get, "/athletes/{athlete}" + strengthAt, coach, (*server).strengthPage},
		{get, "/athletes/{athlete}" + strengthAt + "/log", coach, (*server).liftPage},
		{post, "/athletes/{athlete}" + strengthAt + "/log", coach, (*server).logLift},
		{get, "/athletes/{athlete}" + strengthAt + "/gear", coach, (*server).gearPage},
		{post, "/athletes/{athlete}" + strengthAt + "/gear", coach, (*server).setGear},
		{get, "/athletes/{athlete}" + strengthAt + "/programme", keeper, (*server).programmePage},
		{post, "/athletes/{athlete}" + strengthAt + "/programme", keeper, (*server).giveProgramme},
		{get, "/athletes/{athlete}/sessions/{session}/sets", coach, (*server).setsPage},
		{post, "/athletes/{athlete}/sessions/{session}/sets", coach, (*server).correctSets},
		{get, exercisesAt, coach, (*server).exercisesPage},
		{post, exercisesAt, keeper, (*server).addExercise},
		{get, exercisesAt + "/new", keeper, (*server).newExercise},
		{get, exercisesAt + "/{exercise}", keeper, (*server).exercisePage},
		{post, exercisesAt + "/{exercise}", keeper, (*server).changeExercise},
	}
}

// hearts are heart-rate evidence: recordings of sessions, and what was measured.
func hearts() []route {
	return []route{
		{get, "/athletes/{athlete}/sessions/{session}/recording", coach, (*server).recordingPage},
		{post, "/athletes/{athlete}/sessions/{session}/recording", coach, (*server).attach},
		{post, "/athletes/{athlete}/sessions/{session}/recording/anew", coach, (*server).readAnew},
		{post, "/athletes/{athlete}/sessions/{session}/recording/remove", coach, (*server).detach},
		{get, "/athletes/{athlete}/heart", coach, (*server).heartPage},
		{post, "/athletes/{athlete}/heart/measurements", coach, (*server).measure},
		{post, "/athletes/{athlete}/heart/measurements/{measurement}/back", coach, (*server).unmeasure},
		{post, "/athletes/{athlete}/heart/offers", coach, (*server).answerOffer},
		{post, "/athletes/{athlete}/heart/formula", coach, (*server).setFormula},
		{get, "/athletes/{athlete}/talk-test", coach, (*server).talkPage},
		{post, "/athletes/{athlete}/talk-test", coach, (*server).talkStep},
		{get, "/sessions/{session}/recording", athlete, (*server).recordingPage},
		{post, "/sessions/{session}/recording", athlete, (*server).attach},
		{post, "/sessions/{session}/recording/anew", athlete, (*server).readAnew},
		{post, "/sessions/{session}/recording/remove", athlete, (*server).detach},
		{get, "/heart", athlete, (*server).heartPage},
		{post, "/heart/measurements", athlete, (*server).measure},
		{post, "/heart/measurements/{measurement}/back", athlete, (*server).unmeasure},
		{get, "/talk-test", athlete, (*server).talkPage},
		{post, "/talk-test", athlete, (*server).talkStep},
	}
}

// keeping is what is kept of somebody: seeing it, taking it along, being erased.
func keeping() []route {
	return []route{
		{get, part.MeAt, athlete, (*server).mePage},
		{post, rollerAt, athlete, (*server).setRoller},
		{get, part.MeAt + "/archive", athlete, (*server).archive},
		{get, part.MeAt + "/erase", athlete, (*server).askErasePage},
		{post, part.MeAt + "/erase", athlete, (*server).askErase},
		{post, part.MeAt + "/erase/back", athlete, (*server).keepMe},
		{get, "/athletes/{athlete}/kept", keeper, (*server).keptPage},
		{get, "/athletes/{athlete}/archive", keeper, (*server).archive},
		{post, "/athletes/{athlete}/erase", keeper, (*server).erase},
		{post, "/club/keeping", owner, (*server).setKeeping},
		{get, ownKeptAt, coach, (*server).ownKept},
	}
}

// uploads says whether the route takes in a file: a larger body, and more time
// for a phone to send it.
func (l route) uploads() bool { return l.method == post && strings.HasSuffix(l.pattern, "/recording") }

// downloads says whether the route sends something large: more time for a slow line.
func (l route) downloads() bool { return strings.HasSuffix(l.pattern, "/archive") }

// router makes the routes of the table, each guarded, behind the middleware that
// all share.
func (s *server) router(table []route) (http.Handler, error) {
	guard, err := s.originGuard()
	if err != nil {
		return nil, err
	}
	mux := chi.NewRouter()
	mux.Use(s.begin, s.headers, s.clientIP(), guard.Handler, middleware.GetHead,
		middleware.Compress(5, "text/html", "text/css", "text/javascript", "image/svg+xml", "application/json", "application/manifest+json", "text/plain", "text/calendar"))
	mux.NotFound(s.guarded(route{may: anybody, serve: notThere}))
	mux.MethodNotAllowed(s.guarded(route{may: unasked, serve: notThisWay}))
	mux.Get("/healthz", s.healthz)
	mux.Get("/readyz", s.readyz)
	for _, line := range table {
		mux.Method(line.method, line.pattern, s.guarded(line))
	}
	return mux, nil
}
