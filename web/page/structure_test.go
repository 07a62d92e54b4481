package page_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/andybalholm/cascadia"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// doc is a page as a browser sees it.
type doc struct {
	t    *testing.T
	root *html.Node
}

func parse(t *testing.T, source string) doc {
	t.Helper()
	root, err := html.Parse(strings.NewReader(source))
	require.NoError(t, err)
	return doc{t, root}
}

func (d doc) all(selector string) []*html.Node {
	d.t.Helper()
	s, err := cascadia.ParseGroup(selector)
	require.NoError(d.t, err)
	return cascadia.QueryAll(d.root, s)
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}

func text(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// within says whether an ancestor, or the node itself, matches.
func within(n *html.Node, matches func(*html.Node) bool) bool {
	for ; n != nil; n = n.Parent {
		if n.Type == html.ElementNode && matches(n) {
			return true
		}
	}
	return false
}

func (d doc) ids() map[string]bool {
	ids := map[string]bool{}
	for _, n := range d.all("[id]") {
		id := attr(n, "id")
		require.NotEmpty(d.t, id, "an id is not empty")
		require.False(d.t, ids[id], "id %q is there once", id)
		ids[id] = true
	}
	return ids
}

// each runs the check on every page of the gallery.
func each(t *testing.T, check func(*testing.T, doc)) {
	for name, component := range gallery() {
		t.Run(name, func(t *testing.T) { check(t, parse(t, render(t, component))) })
	}
}

// The content security policy allows nothing inline and nothing from elsewhere. An
// address that begins with webcal hands our own to the calendar program.
func TestNothingInlineAndNothingFromElsewhere(t *testing.T) {
	each(t, func(t *testing.T, d doc) {
		require.Empty(t, d.all("[style], style, iframe:not([sandbox]), iframe[srcdoc], base, script:not([src])"))
		for _, n := range d.all("*") {
			for _, a := range n.Attr {
				require.False(t, strings.HasPrefix(a.Key, "on"), "%s on %s", a.Key, n.Data)
				switch a.Key {
				case "src", "href", "action", "formaction":
					require.Regexp(t, `^(/[^/]|/$|#|webcal://)`, a.Val, "%s of %s stays here", a.Key, n.Data)
				}
			}
		}
		for _, n := range d.all("iframe") {
			require.NotEmpty(t, attr(n, "title"), "what stands in the frame is said")
			for _, may := range []string{"allow-scripts", "allow-same-origin", "allow-forms", "allow-popups"} {
				require.NotContains(t, attr(n, "sandbox"), may)
			}
		}
		for _, n := range d.all("form") {
			require.Contains(t, []string{"post", "get"}, attr(n, "method"))
			require.NotEmpty(t, attr(n, "action"))
		}
	})
}

func TestEveryIdIsThereOnceAndEveryReferenceIsMet(t *testing.T) {
	each(t, func(t *testing.T, d doc) {
		ids := d.ids()
		for _, name := range []string{"for", "list", "form", "aria-describedby", "aria-labelledby"} {
			for _, n := range d.all("[" + name + "]") {
				for _, id := range strings.Fields(attr(n, name)) {
					require.True(t, ids[id], "%s=%q of %s leads somewhere", name, id, n.Data)
				}
			}
		}
		for _, n := range d.all(`a[href^="#"]`) {
			require.True(t, ids[attr(n, "href")[1:]], "the link %q leads somewhere", attr(n, "href"))
		}
	})
}

func TestEveryFieldHasItsLabel(t *testing.T) {
	each(t, func(t *testing.T, d doc) {
		labelled := map[string]bool{}
		for _, l := range d.all("label[for]") {
			require.NotEmpty(t, text(l))
			labelled[attr(l, "for")] = true
		}
		for _, n := range d.all("input:not([type=hidden]), select, textarea") {
			inLabel := within(n, func(p *html.Node) bool { return p.Data == "label" && text(p) != "" })
			require.True(t, inLabel || labelled[attr(n, "id")] || attr(n, "aria-label") != "", "%s %s has a label", n.Data, attr(n, "name"))
			if typ := attr(n, "type"); typ == "radio" {
				group := func(p *html.Node) bool { return p.Data == "fieldset" && len(doc{t, p}.all("legend")) > 0 }
				require.True(t, within(n, group), "the choices of %s have a legend", attr(n, "name"))
			}
			if has(n, "aria-invalid") && n.Data != "fieldset" && !has(n, "aria-describedby") {
				require.True(t, within(n, func(p *html.Node) bool { return attr(p, "class") != "" && len(doc{t, p}.all(".wrong")) > 0 }), "what is wrong with %s is said", attr(n, "name"))
			}
		}
		for _, n := range d.all("button, a, summary") {
			require.NotEmpty(t, text(n), "%s says what it does", n.Data)
		}
	})
}

func TestHeadingsAndLandmarksAreInOrder(t *testing.T) {
	each(t, func(t *testing.T, d doc) {
		require.Len(t, d.all("h1"), 1)
		require.Len(t, d.all("main#main"), 1)
		require.NotEmpty(t, d.all("header"))
		require.Equal(t, "en", attr(d.all("html")[0], "lang"))
		require.Regexp(t, `.+ · Halfhour$`, text(d.all("title")[0]))
		require.Equal(t, "#main", attr(d.all("a")[0], "href"), "the first link skips to the page")
		level := 0
		for _, h := range d.all("h1, h2, h3, h4") {
			require.NotEmpty(t, text(h))
			now := int(h.Data[1] - '0')
			require.LessOrEqual(t, now, level+1, "%q does not skip a level", text(h))
			level = now
		}
		for _, n := range d.all("nav, section") {
			require.True(t, has(n, "aria-label") || has(n, "aria-labelledby"), "%s is named", n.Data)
		}
	})
}

func TestEveryPictureIsSaidInWords(t *testing.T) {
	each(t, func(t *testing.T, d doc) {
		for _, n := range d.all("svg") {
			hidden := within(n, func(p *html.Node) bool { return attr(p, "aria-hidden") == "true" })
			named := within(n, func(p *html.Node) bool {
				return p.Data == "svg" && attr(p, "role") == "img" && attr(p, "aria-label") != ""
			})
			require.True(t, hidden || named, "a picture has words, or others beside it")
		}
		for _, n := range d.all("table") {
			require.Len(t, doc{t, n}.all("caption"), 1)
			for _, th := range (doc{t, n}).all("th") {
				require.True(t, has(th, "scope"))
			}
		}
	})
}

// What people typed is text, whatever it looks like.
func TestMarkupInWhatWasTypedIsText(t *testing.T) {
	const evil = `<script>alert(1)</script>"'><img src=x onerror=alert(1)>`
	roster, athlete, form, hi := morning(), portrait(), after(), today()
	roster.Decide[0].Name, roster.Steady[0].Name, roster.Find = evil, evil, evil
	roster.Decide[0].Strips[0].Label, roster.Decide[0].Pick = evil, evil
	athlete.Name, athlete.Headline, athlete.Notes[0].Text, athlete.Sessions[0].Note = evil, evil, evil, evil
	form.Note, form.Errors = evil, part.Errors{"note": evil}
	form.Pairs, form.Others = page.Places(map[string]string{evil: "3"})
	hi.Word = evil
	for _, source := range []string{
		render(t, page.RosterPage(roster)), render(t, page.AthletePage(athlete)), render(t, page.AfterPage(form)), render(t, page.TodayPage(hi)),
	} {
		d := parse(t, source)
		require.Empty(t, d.all("script:not([src]), img, [onerror]"))
		require.Contains(t, text(d.root)+source, "alert(1)", "it is shown all the same")
	}
}

// The same names stand in the package's comment.
func TestFormsSendWhatHandlersRead(t *testing.T) {
	names := func(source string) map[string]bool {
		sent := map[string]bool{}
		for _, n := range parse(t, source).all("[name]:not(meta, iframe)") {
			sent[number.ReplaceAllString(attr(n, "name"), "[]")] = true
		}
		return sent
	}
	for name, c := range map[string]struct {
		source string
		fields string
	}{
		"planned":   {render(t, page.AfterPage(correcting())), "key kind version phase done until blocks[].kind blocks[].planned_s blocks[].done_min blocks[].done_sec blocks[].settle_s effort talk breath hot pain pain[].site pain[].score pain[].next_morning limp signs warm_up cool_down date clock note"},
		"extra":     {render(t, page.AfterPage(extra())), "key kind ran minutes run_minutes longest_minutes effort talk hot pain pain[].site pain[].score limp signs warm_up cool_down date clock note"},
		"strength":  {render(t, page.AfterPage(strength())), "key kind minutes effort pain pain[].site pain[].score limp signs date clock note"},
		"lifting":   {render(t, page.LiftingPage(lifting())), "key kind turn planned lift[].exercise lift[].for lift[].count lift[].kg lift[].set[] lift[].left step as minutes effort pain pain[].site pain[].score limp signs date clock note"},
		"sets":      {render(t, page.LiftingPage(liftingCorrect())), "version turn planned lift[].exercise lift[].for lift[].count lift[].kg lift[].set[] lift[].left step"},
		"programme": {render(t, page.ProgrammePage(programme())), "key of a_week more end session[].name session[].slot[].exercise session[].slot[].patterns session[].slot[].sets session[].slot[].low session[].slot[].high session[].slot[].reserve"},
		"gear":      {render(t, page.KitPage(gear())), "has weights least most step"},
		"exercise":  {render(t, page.ExercisePage(exerciseForm())), "version name pattern measure level cues loads needs demands sides hard away easier harder caution"},
		"roster":    {render(t, page.RosterPage(morning())), "find pick choice"},
		"paper":     {render(t, page.PersonPage(onPaper())), "key name email birth_year zone sessions_a_week heart_off phase answers asked_on asked_by"},
		"consent":   {render(t, page.JoiningPage(consenting())), "key keeping health adult guardian guardian_name"},
		"walk":      {render(t, page.JoiningPage(firstWalk())), "key talk effort choice"},
		"begin":     {render(t, page.ReviewPage(review())), "key version phase sessions_a_week heart_off"},
		"clearance": {render(t, page.ReviewPage(reviewOfClearance())), "key version given_on given_by limits"},
		"change":    {render(t, page.PersonPage(changePerson())), "version name email birth_year zone sessions_a_week heart_off injured_on"},
		"letters":   {render(t, page.LettersPage(lettersTo())), "letter_on day hour news_only whose detail at_once key"},
		"mails":     {render(t, page.MePage(meWithMail())), "decisions monday gentle"},
		"stop":      {render(t, page.StopMailPage(stopMail())), "do"},
		"forgotten": {render(t, page.ForgottenPage(forgotten())), "email"},
		"invite":    {render(t, postPages()["club-mail"]), "current password key email role name keep_months gentle_on gentle_words"},
		"sign-in":   {render(t, page.SignInPage(page.SignIn{})), "email password next"},
		"recording": {render(t, page.RecordingPage(deskRecording())), "file replace"},
		"attach":    {render(t, page.RecordingPage(unrecorded(true))), "file anyway"},
		"resting":   {render(t, page.HeartPage(hearts())), "key kind bpm on"},
		"heart":     {render(t, page.HeartPage(deskHearts())), "key kind bpm on formula recording choice"},
		"talk":      {render(t, page.TalkTestPage(talking())), "key well do"},
		"stage":     {render(t, page.TalkTestPage(stageOfTest())), "key well do rate[] talk[] rate talk"},
		"result":    {render(t, page.TalkTestPage(resultOfTest(true))), "key well do rate[] talk[]"},
		"morning":   {render(t, page.TodayPage(hurting())), "key morning[].site morning[].score temperature humidity shade"},
		"weather":   {render(t, page.WeatherClubPage(clubWeather())), "key temperature humidity shade hour"},
		"called":    {render(t, page.TodayPage(tooHot())), "key temperature humidity shade"},
		"checklist": {render(t, page.ChecklistPage(checklist())), ""},
		"routine":   {render(t, page.RoutinePage(routineEdit())), "key of before[].move before[].count after[].move after[].count name kind how usual timed sides loads demands"},
	} {
		sent := names(c.source)
		for _, field := range strings.Fields(c.fields) {
			require.True(t, sent[field], "%s sends %s", name, field)
			delete(sent, field)
		}
		require.Empty(t, sent, "%s sends nothing else", name)
	}
}

var number = regexp.MustCompile(`\[\d+\]`)

// Rows that may be settled together hang on the form of their group, and only
// theirs.
func TestTogether(t *testing.T) {
	d := parse(t, render(t, page.RosterPage(morning())))
	ticks := d.all(`input[type=checkbox][form="all-move_up"][name=pick]`)
	require.Len(t, ticks, 2)
	require.Len(t, d.all("input[type=checkbox]"), 2)
	require.Equal(t, "move_up", attr(d.all("form#all-move_up input[name=choice]")[0], "value"))
}

// A choice that needs a reason leads to the form where it can be given.
func TestAnAlternativeThatNeedsAReasonIsALink(t *testing.T) {
	d := parse(t, render(t, page.RosterPage(page.Roster{Decide: []page.Decide{ines(), bram()}})))
	require.Len(t, d.all(`.row button[name=choice]`), 3)
	require.Len(t, d.all(`.row a.btn[href="/athletes/1?choice=hold#decision"]`), 1)
}

func TestPlacesKeepWhatWasTold(t *testing.T) {
	pairs, others := page.Places(map[string]string{"left shin": "4", "back": "2", "jaw": "1"})
	require.Equal(t, "4", pairs[0].Left.Value)
	require.Empty(t, pairs[0].Right.Value)
	require.Equal(t, "2", others[0].Value)
	require.Equal(t, "jaw", others[1].Site)
	require.True(t, others[1].Free)
	require.Empty(t, others[2].Site, "one more to fill in")
	numbers := map[string]bool{}
	for _, p := range pairs {
		numbers[p.Left.Name("score")], numbers[p.Right.Name("score")] = true, true
	}
	for _, f := range others {
		numbers[f.Name("score")] = true
	}
	require.Len(t, numbers, 17, "every place has a number of its own")
}

// What is secret is typed unseen, by hand, pasted, or by what keeps passwords.
func TestPasswordsAreTypedUnseen(t *testing.T) {
	secrets := 0
	each(t, func(t *testing.T, d doc) {
		for _, n := range d.all("input") {
			if !strings.Contains(attr(n, "name"), "password") && attr(n, "name") != "current" {
				require.NotEqual(t, "password", attr(n, "type"))
				continue
			}
			secrets++
			require.Equal(t, "password", attr(n, "type"))
			require.Contains(t, []string{"current-password", "new-password"}, attr(n, "autocomplete"))
			require.Empty(t, attr(n, "value"), "none is ever sent back")
			require.Empty(t, attr(n, "maxlength"), "none is cut")
		}
	})
	require.Greater(t, secrets, 4)
}
