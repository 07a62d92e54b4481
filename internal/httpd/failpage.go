package httpd

import (
	"html"
	"io"
	"net/http"
)

// failurePage shows the failure; it needs nothing but the request.
func (s *server) failurePage(w http.ResponseWriter, r *http.Request, f failure) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(f.status)
	io.WriteString(w, "<!doctype html><html lang=en><title>"+html.EscapeString(f.title)+"</title><h1>"+html.EscapeString(f.title)+
		"</h1><p>"+html.EscapeString(f.text)+"</p><p>Reference "+askedOf(r.Context()).reference+"</p>")
}
