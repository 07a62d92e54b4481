// Package rule holds what must be true of the source itself: which package may
// import which, how long files and functions may be, and who may look at the
// clock. Its tests read the code of the whole module, so that breaking a rule
// breaks the build.
package rule

import (
	"slices"
	"strings"
)

// Module is the path that every package of ours begins with.
const Module = "halfhour.app/halfhour"

// Group is a number of packages that may import the same. An arrow may only
// point inwards: pure, then vocabulary, then use cases, then what touches the
// world.
type Group struct {
	Name     string
	Packages []string // paths inside the module; one that ends in /... holds all below it
	Groups   []string // groups whose packages it may import; its own only when listed
	Outside  []string // modules of others that it may import, and what they hold
	NoStd    []string // packages of the standard library that it may not import
}

// touchesWorld is what values in, values out has no need of.
func touchesWorld() []string {
	return []string{"context", "database/sql", "log", "log/slog", "net", "net/http", "os", "os/exec", "os/signal", "syscall", "testing"}
}

// Table is the import table. Every package of the module has its place in it.
func Table() []Group {
	return append(inside(), outside()...)
}

// inner are the groups that everything but the innermost may stand on.
func inner(more ...string) []string { return append([]string{"pure", "vocabulary"}, more...) }

// inside are the packages that know nothing of the world: what is decided, and
// what people do.
func inside() []Group {
	return []Group{
		{
			Name: "pure",
			Packages: []string{
				"internal/body", "internal/day", "internal/document", "internal/fault", "internal/figure", "internal/intensity", "internal/load",
				"internal/pathway", "internal/readiness", "internal/screening", "internal/simulate", "internal/strength", "internal/trace",
				"internal/warmup", "internal/weather", "internal/weekplan",
			},
			Groups: []string{"pure"}, NoStd: touchesWorld(),
		},
		{
			Name: "vocabulary", Packages: []string{"internal/roster"},
			Groups: inner(), NoStd: touchesWorld(),
		},
		{
			Name:     "use case",
			Packages: []string{"internal/access", "internal/calendar", "internal/days", "internal/decide", "internal/enrol", "internal/entry", "internal/heart", "internal/join", "internal/lift", "internal/morning", "internal/outdoors", "internal/post", "internal/privacy", "internal/routine"},
			Groups:   inner(), NoStd: []string{"database/sql", "net/http", "os", "os/exec", "testing"},
		},
		{
			Name: "words", Packages: []string{"internal/wording"},
			Groups: inner("use case"), NoStd: touchesWorld(),
		},
		{
			Name: "demo", Packages: []string{"internal/demo", "internal/demo/..."},
			Groups: inner("use case", "demo"), NoStd: []string{"database/sql", "net/http", "os/exec", "testing"},
		},
	}
}

// outside are the adapters, which do not know each other, and what joins or
// tries them.
func outside() []Group {
	everything := inner("use case", "words", "demo", "page", "httpd", "postgres", "migrations", "localpg", "argon", "passkey", "activityfile", "config", "jobs", "mail", "ical")
	return []Group{
		{
			Name: "page", Packages: []string{"web", "web/..."}, Groups: inner("page"),
			Outside: []string{"github.com/a-h/templ"},
			NoStd:   []string{"database/sql", "net/http", "os", "os/exec", "testing"},
		},
		{
			Name: "httpd", Packages: []string{"internal/httpd"}, Groups: inner("use case", "words", "page", "ical"),
			Outside: []string{"github.com/a-h/templ", "github.com/go-chi/chi/v5", "github.com/go-chi/httprate", "github.com/skip2/go-qrcode"},
			NoStd:   []string{"database/sql", "testing"},
		},
		{
			Name: "postgres", Packages: []string{"internal/postgres"}, Groups: inner("use case", "migrations"),
			Outside: []string{"github.com/jackc/pgx/v5", "github.com/golang-migrate/migrate/v4"},
			NoStd:   []string{"net/http", "testing"},
		},
		{Name: "migrations", Packages: []string{"migrations"}, NoStd: touchesWorld()},
		{
			Name: "localpg", Packages: []string{"internal/localpg"},
			Outside: []string{"github.com/jackc/pgx/v5", "golang.org/x/sys"}, NoStd: []string{"net/http", "testing"},
		},
		{Name: "argon", Packages: []string{"internal/argon"}, Groups: []string{"pure"}, Outside: []string{"github.com/alexedwards/argon2id"}},
		{
			Name: "passkey", Packages: []string{"internal/passkey"}, Groups: inner("use case"),
			Outside: []string{"github.com/go-webauthn/webauthn"}, NoStd: []string{"database/sql", "net/http", "os", "os/exec", "testing"},
		},
		{
			Name: "activityfile", Packages: []string{"internal/activityfile"}, Groups: []string{"pure"},
			Outside: []string{"github.com/muktihari/fit"}, NoStd: []string{"database/sql", "net/http", "os", "os/exec", "testing"},
		},
		{
			Name: "ical", Packages: []string{"internal/ical"},
			Outside: []string{"github.com/arran4/golang-ical"}, NoStd: []string{"database/sql", "net/http", "os", "os/exec", "testing"},
		},
		{
			Name: "jobs", Packages: []string{"internal/jobs"}, Groups: inner("use case"),
			Outside: []string{"github.com/jackc/pgx/v5", "github.com/riverqueue/river"}, NoStd: []string{"database/sql", "net/http", "os", "testing"},
		},
		{
			Name: "mail", Packages: []string{"internal/mail"}, Groups: inner("use case", "words", "page"),
			Outside: []string{"github.com/wneessen/go-mail"}, NoStd: []string{"database/sql", "net/http", "os/exec", "testing"},
		},
		{Name: "config", Packages: []string{"internal/config"}},
		{
			Name: "cmd", Packages: []string{"cmd/..."}, Groups: everything,
			Outside: []string{"github.com/alecthomas/kong"}, NoStd: []string{"testing"},
		},
		{
			Name: "testing", Packages: []string{"internal/testing/..."}, Groups: append(everything, "testing"),
			Outside: []string{
				"github.com/andybalholm/cascadia", "github.com/chromedp", "github.com/emersion", "github.com/jackc/pgx/v5",
				"github.com/stretchr/testify", "golang.org/x/net", "pgregory.net/rapid",
			},
		},
	}
}

// Place is the group of a package, or nil when the table does not name it.
func Place(table []Group, pkg string) *Group {
	for i := range table {
		for _, p := range table[i].Packages {
			if below(pkg, p) {
				return &table[i]
			}
		}
	}
	return nil
}

// below says whether a package is the one of the pattern, or under it.
func below(pkg, pattern string) bool {
	folder, all := strings.CutSuffix(pattern, "/...")
	return pkg == pattern || all && strings.HasPrefix(pkg, folder+"/")
}

// Wrong says why the group may not import the path; empty when it may.
func (g *Group) Wrong(table []Group, path string) string {
	if own, ours := strings.CutPrefix(path, Module+"/"); ours {
		other := Place(table, own)
		if other == nil {
			return "has no place in the import table yet"
		}
		if !slices.Contains(g.Groups, other.Name) {
			return "is of the group " + other.Name + ", which " + g.Name + " may not import"
		}
		return ""
	}
	first, _, _ := strings.Cut(path, "/")
	if !strings.Contains(first, ".") {
		if slices.Contains(g.NoStd, path) {
			return "is nothing for the group " + g.Name
		}
		return ""
	}
	for _, module := range g.Outside {
		if path == module || strings.HasPrefix(path, module+"/") {
			return ""
		}
	}
	return "is of a module that the group " + g.Name + " may not name"
}
