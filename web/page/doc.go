// Package page holds the pages. Each has a view model, plain values already in
// words, and a component of the same name with Page behind it:
//
//	RosterPage(Roster)      the morning                       coach
//	AthletePage(Athlete)    one athlete in full               coach
//	PersonPage(Person)      a new athlete, or a change        coach
//	AddedPage(Added)        a link just made, with its code   coach
//	ReviewPage(Review)      a newcomer's answers              coach
//	PathwayPage(Pathway)    the phases                        coach
//	ClubPage(Club)          coaches, who left, own logins     coach
//	TodayPage(Today)        what is next                      athlete
//	GoPage(Go)              the guided session               athlete
//	AfterPage(After)        what was done: new or corrected   athlete, coach
//	StoppedPage(Stopped)    after a warning sign was logged   athlete
//	MinePage(Mine)          own sessions                      athlete
//	JoiningPage(Joining)    consent, questions, first walk    athlete, coach
//	JoiningResultPage(JoiningResult) what answers come to     athlete, coach
//	DoctorPaperPage(DoctorPaper)     to show to a doctor      athlete, coach
//	RecordingPage(Recording) a session's heart rate           athlete, coach
//	HeartPage(Heart)        ceiling and measurements          athlete, coach
//	TalkTestPage(TalkTest)  the guided talk test              athlete, coach
//	DeletePage(Delete)      asks before a session goes        athlete, coach
//	WeatherOwnPage, WeatherClubPage(WeatherPage) today's     athlete, coach
//	ChecklistPage(Checklist) before and after a session       athlete
//	RoutinePage(RoutineEdit) the club's routine               coach
//	LeavePage(AwayPage)     times away                        athlete
//	HealthAgainPage(HealthAgain) health questions once more   athlete, coach
//	ComingBackPage(ComingBack) after an illness or an injury  athlete, coach
//	MePage(About)           what is kept, and who looked      athlete
//	KeptPage(About)         the same of an athlete            coach
//	AskErasePage(AskErase)  asks before asking to be erased   athlete
//	SignInPage(SignIn)      e-mail and password               nobody
//	LandingPage(Landing)    what a one-time link opens        nobody
//	SetUpPage(SetUp)        names the club                    nobody
//	JoinPage(Join)          accepts an invitation             nobody
//	FailurePage(Failure)    what went wrong                   anybody
//
// Addresses of single things (Href, Action) come with the view model; only the
// few fixed ones that frames link to are constants of package part. Forms are
// sent by POST but for the search on the roster, which is a GET of part.RosterAt
// with find.
//
// # Fields of forms
//
// Every form that may be sent twice carries a hidden key. A page shown again
// after a fault carries what was typed and, by the names below, what is wrong
// with it (Errors), with one line each for the summary on top (Mistakes: Field is
// the name of the field, which is also its id or the id of its group).
//
// Roster, a row: pick (hidden), choice (the button pressed).
// Roster, several together: choice (hidden), pick (once for every ticked row).
//
// Athlete, decision: pick, key (hidden), choice, to, reason, word.
// Athlete, note: key, text, private (1 when ticked). Erase: name. How long people are
// kept: keep_months. New sign-in link, end of a login, left, returned:
// nothing but what their Fields say.
//
// Person: key, version (hidden), name, email, birth_year, zone, sessions_a_week,
// heart_off (there and 1: heart rate cannot be used), phase (new), answers (phone or
// paper; new), asked_on and asked_by (new, paper), injured_on (change).
//
// Joining, the consent: key, a box for each kind (keeping, health, adult,
// guardian), guardian_name. A section: key, and its questions by their IDs, with several values
// where several were picked. The first walk: key, talk, effort, choice (skip).
//
// Review, where to begin: key, version (hidden), phase, sessions_a_week, heart_off.
// The clearance: key, version (hidden), given_on, given_by, limits.
//
// Leave: key (hidden), kind (away, illness, injury), from, to, why; of a time away: to (last day), or nothing
// for never.
//
// After, all kinds: key, kind, version (hidden), date (2026-04-14), clock
// (07:10, may be empty), effort (0 to 10), pain (none, some, or not there: not
// asked), pain[N].site and pain[N].score (empty score: nothing there),
// pain[N].next_morning, limp, hot (1 when ticked), signs (repeated), note. After,
// planned and extra: warm_up and cool_down (done, skipped or empty).
//
// After, planned: phase (hidden), done (all, part, pain, missed, called_off),
// until (whole number or empty: so many blocks were done in full and none after),
// blocks[i].kind and blocks[i].planned_s (hidden), blocks[i].done_min,
// blocks[i].done_sec, blocks[i].settle_s, talk (chat, sentence, words), breath
// (early, half, late). With done = all, until and the blocks are left unread but
// for settle_s; with part or pain, until outranks the minutes typed.
//
// After, extra: ran (walk, run, both), minutes, run_minutes and longest_minutes
// (asked where ran is both), talk. After, strength and other: minutes.
//
// Faults of blocks stand at blocks[i].done_s and blocks[i].settle_s, or at blocks
// for all; faults of pain at pain[N].site, pain[N].score, or pain.
//
// Follow-up on Today: key, morning[i].site (hidden), morning[i].score; faults at
// morning[i].score or next_morning.
//
// Strength, a session: key, kind (strength), turn, planned (hidden), lift[i].exercise, lift[i].for and
// lift[i].count (hidden), lift[i].kg, lift[i].set[n], lift[i].left, minutes and what all sessions
// ask; as (planned: every set as it was filled in); step ("lift[i].set[n] +": one
// further, and nothing is stored). Its sets corrected: version, turn and the lift fields.
//
// Recording: file (multipart), replace, anyway (there and 1: ticked). Read anew,
// remove: nothing.
//
// Heart, a measurement: key, kind (resting or max, hidden), bpm, on (2026-04-14).
// An offer: key, recording (hidden), choice (take, leave). The formula: formula.
//
// Talk test: key (hidden), well (1 when ticked), do (next, keep), rate and talk
// (chat, sentence, words) of the stage now, rate[i] and talk[i] (hidden) of those
// behind.
//
// Weather: key, temperature, humidity, shade (1 when ticked), hour (a coach's); called
// off: key. Roller: roller (1 when ticked).
//
// Routine: key, of (hidden), before[i].move, before[i].count, after[i].move,
// after[i].count; back to ours: key, of. A movement: key, name, kind, how, sides, timed,
// usual, loads and demands (repeated); put away: nothing.
//
// Delete: version. Sign-in: email, password, next. Landing: key, password.
// Set-up: club, zone, name, email, password. Join: name, email, password.
// Password: current, password.
package page
