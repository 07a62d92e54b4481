package httpd

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/fault"
)

// phoneAt is what addresses for the phone's own program begin with: they always
// answer JSON.
const phoneAt = "/phone/"

// wantsJSON says whether a program asks, and not a person.
func wantsJSON(r *http.Request) bool {
	if strings.HasPrefix(r.URL.Path, phoneAt) {
		return true
	}
	for accepted := range strings.SplitSeq(r.Header.Get("Accept"), ",") {
		kind, _, _ := strings.Cut(accepted, ";")
		if strings.EqualFold(strings.TrimSpace(kind), "application/json") {
			return true
		}
	}
	return false
}

// json writes a value in one go.
func (s *server) json(w http.ResponseWriter, r *http.Request, status int, value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Length", strconv.Itoa(len(text)))
	w.WriteHeader(status)
	if _, err := w.Write(text); err != nil {
		s.Log.DebugContext(r.Context(), "the phone went away", "reference", askedOf(r.Context()).reference)
	}
	return nil
}

// refusal is a failure as a program gets it.
type refusal struct {
	Message   string        `json:"message,omitempty"`   // for a person
	Fields    []refusedHere `json:"fields,omitempty"`    // what is wrong where
	There     string        `json:"there,omitempty"`     // the address of what is there already
	Reference string        `json:"reference,omitempty"` // that of the log
}

// refusedHere is what is wrong with one field.
type refusedHere struct {
	Place   string `json:"place"`
	Message string `json:"message"`
}

// refusedFields are faults as a program gets them, each a sentence for a person.
func refusedFields(faults []fault.Field) []refusedHere {
	list := make([]refusedHere, len(faults))
	for i, f := range faults {
		list[i] = refusedHere{Place: f.Place, Message: sentence(f.Message)}
	}
	return list
}

// failureJSON tells a program of a failure. Should even that fail, its words are
// sent bare.
func (s *server) failureJSON(w http.ResponseWriter, r *http.Request, f failure, err error) {
	told := refusal{Message: f.text, Fields: refusedFields(fault.FieldsOf(err)), Reference: askedOf(r.Context()).reference}
	if err := s.json(w, r, f.status, told); err != nil {
		http.Error(w, f.title+". "+f.text, f.status)
	}
}
