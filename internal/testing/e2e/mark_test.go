package e2e

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/visitor"
)

// Whatever stands in the database comes out of it as text: every column that holds
// words is filled with markup that names it, past all checks of forms, and every page
// that leads from the roster and from Today is looked through. The log is searched
// for the same marks: nothing that stands in a row is for it.
func TestMarksInEveryColumnStayText(t *testing.T) {
	t.Parallel()
	d := newDemo(t, "--log-level=debug")
	c := &club{Program: d.Program, t: t}
	coach, phone := visitor.New(t, d.Address), visitor.New(t, d.Address)
	require.Equal(t, 200, coach.Get("/sign-in").Form("form.card").Set("email", d.email, "password", d.password).Send().Status)
	require.Equal(t, 200, phone.Get(d.link).Form("form[action]").Send().Status)
	marked := c.mark()

	seen := map[string]bool{}
	pages := walk(t, coach, []string{"/roster", "/roster?find=img", "/club", "/mail", "/pathway", "/athletes/new"}, seen)
	pages += walk(t, phone, []string{"/today", "/log", "/log?kind=extra", "/sessions", "/away", "/heart", "/talk-test", "/go", "/me"}, seen)
	pages += walk(t, visitor.New(t, d.Address), []string{"/sign-in", "/in/" + strings.Repeat("A", 43)}, seen)
	week := phone.Get("/phone/week")
	require.Equal(t, "application/json", week.Header.Get("Content-Type"))
	require.NotContains(t, week.Body, "<", "what a program asks for holds no markup either")

	t.Logf("%d pages; shown of %d columns: %d", pages, len(marked), len(seen))
	require.Greater(t, pages, 100, "the pages were not found")
	for _, column := range []string{"athlete.name", "athlete.coach_word", "coach.name", "club.name", "note.text", "session.note", "login.device", "phase.stage", "pathway.name"} {
		require.Contains(t, marked, column)
		require.True(t, seen[column], "%s is shown nowhere, so that nothing was proved of it", column)
	}
	require.NotContains(t, d.Said(), "onerror", "the log holds nothing of any row")
	require.Contains(t, d.Said(), "route=/athletes/{athlete}")
}

// spared are columns that cannot hold just anything: what the program looks others up
// by, and what only it writes. Their values are checked where they are typed.
func spared() *regexp.Regexp {
	return regexp.MustCompile(`^(phase\.(id|kinds|half_kinds)|.*\.(phase|last_passed|zone|key|password|kinds)|schema_migrations\..*|river_.*)$`)
}

// mark fills the columns and says which took it. What has its own list of values
// refuses.
func (c *club) mark() (marked []string) {
	conn := c.connect()
	defer conn.Close(c.t.Context())
	_, err := conn.Exec(c.t.Context(), "set session_replication_role = replica")
	require.NoError(c.t, err)
	for _, column := range c.texts(`select table_name || '.' || column_name || case data_type when 'ARRAY' then '[]' else '' end from information_schema.columns
		where table_schema = 'public' and (data_type = 'text' or udt_name = '_text') and is_generated = 'NEVER' order by 1`) {
		name, list := strings.CutSuffix(column, "[]")
		table, field, _ := strings.Cut(name, ".")
		if spared().MatchString(name) {
			continue
		}
		mark := `"><img src=x onerror=` + name + `>`
		for _, value := range []string{"$1::text", "$1::text || '@' || ctid::text"} { // an address, and what is there once
			if list {
				value = "(select array_agg($1::text) from unnest(" + field + "))"
			}
			tag, err := conn.Exec(c.t.Context(), fmt.Sprintf("update %s set %s = %s", table, pgx.Identifier{field}.Sanitize(), value), mark)
			if err == nil && tag.RowsAffected() > 0 {
				marked = append(marked, name)
				break
			}
		}
	}
	require.Greater(c.t, len(marked), 10, "%v", marked)
	return marked
}

// ours is how a letter begins the addresses of this program.
var ours = regexp.MustCompile(`^http://127\.0\.0\.1:\d+/`)

// numbers are what pages of one kind differ in.
var numbers = regexp.MustCompile(`\d+`)

// named finds the column that a mark names.
var named = regexp.MustCompile(`onerror=([a-z_]+\.[a-z_]+)>`)

// walk opens the pages and all that they lead to, of each kind a few, and looks
// through each. It gives how many there were.
func walk(t *testing.T, v *visitor.Visitor, start []string, seen map[string]bool) (pages int) {
	t.Helper()
	const each = 12
	kinds, known := map[string]int{}, map[string]bool{}
	for len(start) > 0 {
		at := start[0]
		start = start[1:]
		kind := numbers.ReplaceAllString(at, "#")
		if known[at] || kinds[kind] == each {
			continue
		}
		known[at] = true
		kinds[kind]++
		page := v.Get(at)
		pages++
		require.Less(t, page.Status, 500, page)
		if page.Header.Get("Content-Type") == "application/zip" {
			require.Regexp(t, `^attachment; filename="[a-z0-9.-]+"$`, page.Header.Get("Content-Disposition"), "a file is kept and never shown")
			continue
		}
		if strings.HasPrefix(page.Header.Get("Content-Type"), "text/plain") || strings.HasPrefix(page.Header.Get("Content-Type"), "text/calendar") {
			require.Equal(t, "nosniff", page.Header.Get("X-Content-Type-Options"), "%s: text that nobody reads as a page", at)
			continue
		}
		start = append(start, inert(t, page)...)
		for _, m := range named.FindAllStringSubmatch(page.Text("body")+" "+values(page), -1) {
			seen[m[1]] = true
		}
	}
	return pages
}

// values are what stands in the fields of the page.
func values(page *visitor.Page) string {
	var b strings.Builder
	for _, n := range page.All("[value]") {
		for _, a := range n.Attr {
			b.WriteString(a.Val + " ")
		}
	}
	return b.String()
}

// inert looks that no mark on the page became markup, and gives where its links lead
// within the app.
func inert(t *testing.T, page *visitor.Page) (leads []string) {
	t.Helper()
	require.NotContains(t, page.Body, "<img src=x", page.Path)
	bare := "img, script:not([src]), style, iframe:not([sandbox]), object, embed, base"
	if letter := strings.Contains(page.Header.Get("Content-Security-Policy"), "sandbox"); letter { // it has styles of its own, and nothing that runs
		require.NotContains(t, page.Header.Get("Content-Security-Policy"), "allow-scripts")
		bare = "img, script, iframe, object, embed, base[href]"
	}
	require.Empty(t, page.All(bare), page.Path)
	for _, frame := range page.All("iframe") {
		for _, a := range frame.Attr {
			require.False(t, a.Key == "sandbox" && strings.Contains(a.Val, "allow-scripts"), page.Path)
			if a.Key == "src" {
				leads = append(leads, a.Val)
			}
		}
	}
	for _, n := range page.All("*") {
		for _, a := range n.Attr {
			require.False(t, strings.HasPrefix(a.Key, "on") || strings.ContainsAny(a.Key, `"'<>`), "%s on %s of %s", a.Key, n.Data, page.Path)
			a.Val = ours.ReplaceAllString(a.Val, "/")
			switch a.Key {
			case "href", "src", "action", "formaction":
				require.Regexp(t, `^(/([^/]|$)|#)`, a.Val, "%s of %s on %s stays here", a.Key, n.Data, page.Path)
			}
			if n.Data == "a" && a.Key == "href" && strings.HasPrefix(a.Val, "/") {
				at, _, _ := strings.Cut(a.Val, "#")
				leads = append(leads, at)
			}
		}
	}
	return leads
}
