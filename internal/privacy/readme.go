package privacy

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// tableWords say what the rows of a table are. A table that is not here is described
// by the comment it has in the database.
func tableWords() map[string]string {
	return map[string]string{
		"athlete":      "who you are: name, e-mail, year of birth, where you stand on the pathway, your coach's last words to you",
		"session":      "your sessions, with effort, pain, signs and your notes",
		"recording":    "what was read in your heart-rate recordings, and the ceilings they were judged with",
		"measurement":  "what was measured of your heart: talk tests, resting and highest rates",
		"leave":        "your times away",
		"consent":      "what you agreed to, when, and when you took it back",
		"health_check": "what you answered to the health questions, and when a coach looked",
		"clearance":    "what was said before running could begin or go on, and by whom",
		"note":         "what coaches noted about you; private notes are here too",
		"decision":     "what coaches decided about your training, in which words, and what the program had proposed at that moment",
		"login":        "the devices on which you signed in",
		"code":         "the sign-in links that were made for you",
		"letter":       "the mail that was sent to you, or at once to a coach about you, in the last 30 days: what it was about, when, and how it ended",
		"letter_part":  "what stood in letters to you, of the last 30 days, and about you in letters to coaches, of the last year, as it was sent",
		"look":         "which coach looked at what of yours, by day",
		"weather":      "the weather that you typed, and the hour it is of; each goes after two weeks",
		"erasure":      "whether you asked to be erased",
	}
}

// wordsOf say what the rows of the table are; empty where nobody said.
func wordsOf(t Table) string {
	if words := tableWords()[t.Name]; words != "" {
		return words
	}
	return strings.TrimSuffix(t.About, ".")
}

const readmeHead = `%s
Everything that %s keeps about you in Halfhour,
as it stood on %s.

This is yours: keep it as safely as other papers about your health.

The files
  everything.json   every row that is kept about you, table by table, as the program
                    keeps it. Any program that reads JSON opens it.
  sessions.csv      your sessions, one a line, for a spreadsheet. Words that begin with
                    =, +, - or @ have an apostrophe before them, so that a spreadsheet
                    does not take them for a formula.
  blocks.csv        the runs and walks of your sessions, one a line. heart_seconds are,
                    of a walk, those at or under the easy ceiling; of a run, those above
                    the ceiling of the second zone.
  recordings/       your heart-rate recordings, one file each, named after the day and the
                    session. Halfhour reads such files again. Without a date they count
                    seconds. marks.csv says where the blocks of guided sessions began.
                    Halfhour never keeps where you were.

In everything.json
  about             the club, you, when this was made, and the coaches by number
`

const readmeTail = `  audit             what was changed, when and by whom: by you (athlete_id), by a coach
                    (coach_id) or, without either, by the program. These lines never hold
                    what was in it.

Left out
%s
Times end in Z or +00:00: they are in UTC, whatever your time zone is. Where a row says
by_coach and it is empty, you entered it yourself.

Not in here, since it is not kept under your name: how many attempts to sign in came from
an address, and what coaches noted about somebody else. What stood in letters with which
you could sign in is kept only where your club has no mail server: in files, for 30 days.
Copies of the whole database that were saved for safety hold what you see here until they
are thrown away; your club can tell you when that is.
`

// readme says in plain words what each file is.
func (b *Bundle) readme(_ context.Context, w io.Writer) error {
	at := b.at.In(b.athlete.Place()).Format("2 January 2006, 15:04") + " (" + b.athlete.Zone + ")"
	if _, err := fmt.Fprintf(w, readmeHead, b.athlete.Name, b.club.Name, at); err != nil {
		return err
	}
	for _, t := range b.tables {
		if _, err := fmt.Fprintf(w, "  %-17s %s\n", t.Name, folded(wordsOf(t), 20)); err != nil {
			return err
		}
	}
	out, left := LeftOut(), ""
	for _, column := range slices.Sorted(maps.Keys(out)) {
		left += fmt.Sprintf("  %-17s %s\n", column, folded(out[column], 20))
	}
	_, err := fmt.Fprintf(w, readmeTail, left)
	return err
}

// folded breaks words into lines that end before column 88, each after the first set
// in so far.
func folded(words string, in int) string {
	var text strings.Builder
	at := in
	for _, word := range strings.Fields(words) {
		if at > in && at+1+len(word) > 88 {
			text.WriteString("\n" + strings.Repeat(" ", in))
			at = in
		} else if at > in {
			text.WriteByte(' ')
			at++
		}
		text.WriteString(word)
		at += len(word)
	}
	return text.String()
}
