package mail

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

var update = flag.Bool("update", false, "write the letters in testdata anew")

// each goes through the letters of all situations.
func each(t *testing.T, look func(t *testing.T, s *situation, c *post.Content)) {
	t.Helper()
	for _, k := range situations {
		t.Run(k.name, func(t *testing.T) {
			s := newSituation()
			k.put(s)
			c, err := s.composer().Compose(t.Context(), s.letter())
			require.NoError(t, err)
			look(t, s, c)
		})
	}
}

// Letters are compared byte for byte with those in testdata/letters, which somebody has
// looked at; -update writes them anew.
func TestLettersOfSituations(t *testing.T) {
	each(t, func(t *testing.T, _ *situation, c *post.Content) { golden(t, c, true) })
}

// golden compares a letter with the one that is kept under the name of the test; its
// HTML too, where somebody looks at it.
func golden(t *testing.T, c *post.Content, looked bool) {
	t.Helper()
	forms := map[string]string{".txt": "Subject: " + c.Subject + "\n\n" + c.Plain()}
	if looked {
		forms[".html"] = c.HTML()
	}
	for kind, text := range forms {
		file := filepath.Join("../../testdata/letters", filepath.Base(t.Name())+kind)
		if *update {
			require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		}
		kept, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Equal(t, string(kept), text, "with -update it is written anew")
	}
}

// said is what somebody hears who has the HTML read aloud, and the addresses of its
// links. What is only for the eye is left out.
func said(t *testing.T, page string) (text string, links []string) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	var words strings.Builder
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		for _, a := range n.Attr {
			if a.Key == "aria-hidden" || n.Data == "head" {
				return
			}
			if a.Key == "href" {
				links = append(links, a.Val)
			}
		}
		if n.Type == html.ElementNode && (n.Data == "head" || n.Data == "style") {
			return
		}
		if n.Type == html.TextNode {
			words.WriteString(n.Data + " ")
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(doc)
	return words.String(), links
}

// spoken are the words and numbers of a text, without what stands around them.
func spoken(text string) []string {
	return regexp.MustCompile(`[\pL\d]+`).FindAllString(text, -1)
}

var address = regexp.MustCompile(`https?://\S+`)

// Whoever reads the plain text reads the same words in the same order, and is led to
// the same places.
func TestBothFormsSayTheSame(t *testing.T) {
	each(t, func(t *testing.T, _ *situation, c *post.Content) {
		heard, links := said(t, c.HTML())
		require.Equal(t, spoken(heard), spoken(address.ReplaceAllString(c.Plain(), "")))
		require.Equal(t, links, address.FindAllString(c.Plain(), -1))
	})
}

// What is about somebody is a part of its own: with it gone the rest is a letter, and
// of the person nothing is left.
func TestPartsCanBeTakenOut(t *testing.T) {
	each(t, func(t *testing.T, s *situation, c *post.Content) {
		for _, f := range s.files[:min(len(s.files), 12)] {
			a := f.Athlete
			rest := post.Content{Parts: slices.DeleteFunc(slices.Clone(c.Parts), func(p post.Part) bool { return p.Athlete == a.ID })}
			at := fmt.Sprintf("%s/athletes/%d", here, a.ID)
			require.NotRegexp(t, regexp.QuoteMeta(at)+`\b`, rest.HTML()+rest.Plain())
			heard, _ := said(t, rest.HTML())
			require.Equal(t, spoken(heard), spoken(address.ReplaceAllString(rest.Plain(), "")))
		}
		for _, p := range c.Parts {
			if p.Athlete != 0 {
				require.True(t, strings.HasPrefix(p.HTML, "<tr>") && strings.HasSuffix(p.HTML, "</tr>\n"), "whole rows")
				require.Equal(t, strings.Count(p.HTML, "<t"), strings.Count(p.HTML, "</t"))
			}
			require.True(t, strings.HasSuffix(p.Plain, "\n"))
		}
	})
}

func TestALetterIsSafeToSend(t *testing.T) {
	each(t, func(t *testing.T, s *situation, c *post.Content) {
		page, plain := c.HTML(), c.Plain()
		require.Less(t, len(page), 100_000, "what is longer is cut off by some mail programs")
		require.LessOrEqual(t, len(c.Parts), 2000, "more are not kept")
		require.NotRegexp(t, `(?i)\ssrc=|url\(|@import|<link|<img|<script|<iframe|\sbackground=`, page, "nothing is loaded")
		_, links := said(t, page)
		require.GreaterOrEqual(t, len(links), 3)
		for _, l := range links {
			require.True(t, strings.HasPrefix(l, here+"/"), l)
		}
		for line := range strings.Lines(plain) {
			require.Less(t, len(line), 998)
			if !address.MatchString(line) {
				require.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), 78, line)
			}
		}
		require.Contains(t, plain, "The letter gives no medical advice")
		require.Contains(t, page, `<html lang="en">`)
		require.Less(t, len(c.Subject), 200)
		if s.reader.Wishes.Detail != roster.Initials {
			return
		}
		there := map[string]bool{}
		for _, word := range spoken(c.Subject + " " + page + " " + plain) {
			there[word] = true
		}
		for _, f := range s.files {
			for part := range strings.FieldsSeq(f.Athlete.Name) {
				require.False(t, there[part], "only initials, and no %s", part)
			}
		}
	})
}

// The largest letter there is: long names, reasons, many people, a long address.
func TestTheLargestLetterIsNotCutOff(t *testing.T) {
	s := newSituation()
	crowd(s)
	for i := range s.files {
		s.files[i].Athlete.Name += " van den Berghe-Sørensen"
	}
	s.reader.Wishes.Detail, s.reader.Wishes.All = roster.Reasons, true
	c := s.composer()
	c.Here = "https://halfhour.the-club-by-the-harbour.example.org"
	made, err := c.Compose(t.Context(), s.letter())
	require.NoError(t, err)
	require.Less(t, len(made.HTML()), 100_000)
}

// health are words that say more of somebody's body than a flag.
var health = regexp.MustCompile(`(?i)shin|heel|knee|of 10|breath|stopped for pain|\bill\b|injur|chest|doctor what|settled`)

// A coach says how much may stand in mail; until then it is initials and flags.
func TestHowMuchStandsInALetter(t *testing.T) {
	for _, k := range []struct {
		detail        roster.Detail
		name, reasons bool
	}{{"", false, false}, {roster.Initials, false, false}, {roster.Names, true, false}, {roster.Reasons, true, true}} {
		s := newSituation()
		everyKind(k.detail)(s)
		s.add("Ona Injured", "L3", after(nil, "L3", 4), off(roster.Injured, 4, 0))
		c, err := s.composer().Compose(t.Context(), s.letter())
		require.NoError(t, err)
		both := c.Plain() + c.HTML()
		require.Equal(t, k.name, strings.Contains(both, "Bruno"), k.detail)
		require.Equal(t, k.reasons, health.MatchString(strings.ReplaceAll(both, "Ona Injured", "")), "%s: %s", k.detail, health.FindString(both))
		require.Contains(t, c.Plain(), "Pain that stops running", "the flag is always said")
		require.NotContains(t, c.Subject, "Bruno")
	}
}

// A deputy reads nothing of answers about health.
func TestALetterToADeputy(t *testing.T) {
	s := newSituation()
	s.reader.Wishes.Detail = roster.Reasons
	s.add("Rosa Pires", "B1", nil, arriving(roster.Answered, 1))
	s.add("Emil Dahl", "L3", after([]roster.Session{done("L3", 1, late)}, "L3", 3), func(f *roster.File) { f.Athlete.CheckSince = sunday - 1 })
	text := func() string {
		c, err := s.composer().Compose(t.Context(), s.letter())
		require.NoError(t, err)
		return strings.Join(strings.Fields(c.Plain()), " ")
	}
	require.Contains(t, text(), "please look at the answers")
	require.Contains(t, text(), "read the answers and say where to begin")
	s.reader.Coach.Deputy = true
	require.Contains(t, text(), "A coach looks at the answers.")
	require.NotContains(t, text(), "read the answers")
}

func TestSubjects(t *testing.T) {
	rows := func(n int) []*morning.Row { return make([]*morning.Row, n) }
	week := func(decide, ready, moved, quiet, steady int) *morning.Weekly {
		return &morning.Weekly{
			Morning: &morning.Morning{Decide: rows(decide + ready), Quiet: rows(quiet), Steady: rows(steady)}, Ready: rows(ready), Moved: make([]morning.Move, moved),
		}
	}
	for subjectLine, w := range map[string]*morning.Weekly{
		"Harbour: three to decide, one of them ready": week(2, 1, 3, 4, 5),
		"Harbour: two to decide":                      week(2, 0, 3, 4, 5),
		"Harbour: twelve ready":                       week(0, 12, 0, 0, 0),
		"Harbour: one moved, 120 without word":        week(0, 0, 1, 120, 0),
		"Harbour: all going steadily":                 week(0, 0, 0, 0, 9),
		"Harbour: the week":                           week(0, 0, 0, 0, 0),
	} {
		for i := range w.Moved {
			w.Moved[i].Row = &morning.Row{Athlete: &roster.Athlete{ID: roster.AthleteID(i)}}
		}
		require.Equal(t, subjectLine, subject(w, "Harbour"))
	}
	require.Equal(t, "A B: the week", subject(week(0, 0, 0, 0, 0), "A\r\nB"))
}

func TestInitials(t *testing.T) {
	for name, short := range map[string]string{
		"Ines Oliveira": "I. O.", "Ines": "I.", "João da Silva Ávila": "J. Á.", "østen Ek": "Ø. E.", "(Kim) “Bo” Li": "K. L.", "李 小龙": "李. 小.", "123": "Somebody", "": "Somebody",
	} {
		require.Equal(t, short, initials(name), name)
	}
}

// A letter that has nothing to say is not sent, and one that was asked for always is.
func TestWhenALetterIsMoot(t *testing.T) {
	steady := func(s *situation) { steadily(s, 2) }
	ready := func(s *situation) { s.add("Carla Moreau", "L3", after(weeks("L3", 1, settles(52)), "L2", 4), on(6)) }
	for _, k := range []struct {
		why    string
		kind   post.Kind
		put    func(s *situation)
		wishes roster.Wishes
		moot   bool
	}{
		{"nothing new, wanted anyway", post.Weekly, steady, roster.Wishes{On: true, Day: 7}, false},
		{"nothing new, only news wanted", post.Weekly, steady, roster.Wishes{On: true, Day: 7, NewsOnly: true}, true},
		{"news", post.Weekly, ready, roster.Wishes{On: true, Day: 7, NewsOnly: true}, false},
		{"stopped meanwhile", post.Weekly, ready, roster.Wishes{Day: 7}, true},
		{"asked for by one who gets none", post.WeeklyNow, steady, roster.Wishes{Day: 7, NewsOnly: true}, false},
	} {
		s := newSituation()
		k.put(s)
		s.reader.Wishes = k.wishes
		l := s.letter()
		l.Kind = k.kind
		c, err := s.composer().Compose(t.Context(), l)
		if k.moot {
			require.ErrorIs(t, err, post.ErrMoot, k.why)
			continue
		}
		require.NoError(t, err, k.why)
		require.Equal(t, k.kind == post.Weekly, strings.Contains(c.Plain(), "/letters/stop/"), "%s: what comes by itself can be stopped", k.why)
		require.Equal(t, k.kind == post.WeeklyNow, strings.Contains(c.Plain(), "You asked for this letter"), k.why)
	}
}

// gone is a club whose coach has left, or whose database has stopped.
type gone struct {
	*situation
	err error
}

func (g gone) Reader(context.Context, roster.ClubID, roster.CoachID) (post.Reader, error) {
	return post.Reader{}, g.err
}

func TestWhoHasLeftGetsNoLetter(t *testing.T) {
	s := newSituation()
	c := s.composer()
	c.Readers = gone{s, fault.New(fault.NotFound, "")}
	_, err := c.Compose(t.Context(), s.letter())
	require.ErrorIs(t, err, post.ErrMoot)
	stopped := errors.New("the database has stopped")
	c.Readers = gone{s, stopped}
	_, err = c.Compose(t.Context(), s.letter())
	require.ErrorIs(t, err, stopped)
	_, err = c.Preview(t.Context(), 3, 2, 0)
	require.ErrorIs(t, err, stopped)
	_, err = s.composer().Compose(t.Context(), &post.Letter{Kind: post.WayIn})
	require.Error(t, err)
}

func TestALateLetterSaysSo(t *testing.T) {
	for after, says := range map[time.Duration]bool{0: false, 6 * time.Hour: false, 6*time.Hour + time.Second: true, 70 * time.Hour: true} {
		s := newSituation()
		steadily(s, 1)
		s.now = s.now.Add(after)
		c, err := s.composer().Compose(t.Context(), s.letter())
		require.NoError(t, err)
		require.Equal(t, says, strings.Contains(c.Plain(), "This letter is late: it was due on Sunday at 18:00."), after)
	}
}

// The preview of a day that is past is the letter of then.
func TestAPreviewOfAnEarlierDay(t *testing.T) {
	s := newSituation()
	s.add("Bruno Ferreira", "L4", after([]roster.Session{done("L4", 5), done("L4", 1, signs(readiness.Faint))}, "L4", 4))
	now, err := s.composer().Preview(t.Context(), 3, 2, 0)
	require.NoError(t, err)
	require.Contains(t, now.Plain(), "Warning sign")
	require.Contains(t, now.Plain(), "/letters/stop/", "as it would be sent")
	before, err := s.composer().Preview(t.Context(), 3, 2, sunday-2)
	require.NoError(t, err)
	require.NotContains(t, before.Plain(), "Warning sign")
	require.Contains(t, before.Plain(), "Seven days up to Friday 13 November")
	require.NotContains(t, before.Plain(), "is late")
}

// How long one letter takes to put together, without its queries.
func BenchmarkWeekly(b *testing.B) {
	for _, k := range []struct {
		name string
		put  func(*situation)
	}{{"dozen", everyKind(roster.Reasons)}, {"three hundred", crowd}} {
		b.Run(k.name, func(b *testing.B) {
			s := newSituation()
			k.put(s)
			c, l := s.composer(), s.letter()
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.Compose(b.Context(), l); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
