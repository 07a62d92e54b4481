package httpd

import (
	"net/http"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
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
	coach                   // a coach, about the own club
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
	return []route{
		{get, "/", anybody, (*server).home},
		{get, "/static/{hash}/*", unasked, (*server).asset},
	}
}

// router makes the routes of the table, each guarded, behind the middleware that
// all share.
func (s *server) router(table []route) (http.Handler, error) {
	guard, err := s.originGuard()
	if err != nil {
		return nil, err
	}
	mux := chi.NewRouter()
	mux.Use(s.begin, s.headers, s.clientIP(), guard.Handler, s.limitBody, middleware.GetHead,
		middleware.Compress(5, "text/html", "text/css", "text/javascript", "image/svg+xml", "application/json", "application/manifest+json", "text/plain"))
	mux.NotFound(s.guarded(route{may: anybody, serve: notThere}))
	mux.MethodNotAllowed(s.guarded(route{may: unasked, serve: notThisWay}))
	mux.Get("/healthz", s.healthz)
	mux.Get("/readyz", s.readyz)
	for _, line := range table {
		mux.Method(line.method, line.pattern, s.guarded(line))
	}
	return mux, nil
}
