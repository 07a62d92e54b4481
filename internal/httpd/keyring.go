package httpd

import (
	"encoding/json"
	"net/http"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// Addresses about passkeys.
const (
	keyInAt = "/sign-in/passkey"
	keysAt  = "/club/passkeys"
	proofAt = "/club/proof"
)

// question sends a question to a passkey, and ties it to this browser.
func (s *server) question(w http.ResponseWriter, r *http.Request, q access.Question, err error) error {
	if err != nil {
		return err
	}
	s.writeAsking(w, q.Secret, int(access.CeremonyHolds/time.Second))
	return s.json(w, r, http.StatusOK, json.RawMessage(q.Options))
}

// keyring is the visitor's passkeys as the page shows them; the form may say what is
// wrong with the proof.
func (s *server) keyring(r *http.Request, f *form) (page.Keyring, error) {
	k, err := s.Access.Keyring(r.Context(), visitorOf(r))
	if err != nil {
		return page.Keyring{}, err
	}
	site := s.siteName(r)
	v := page.Keyring{
		Site: site, Fresh: k.Fresh, Keys: s.keyRows(r, k, site),
		Make: page.KeyAsk{Site: site, Ask: keysAt + "/ask", Action: keysAt}, Name: access.Device(r.UserAgent()),
	}
	if k.Password {
		v.Prove.Action, v.Prove.Error = proofAt, f.errors().At("proof")
	}
	if site != "" && k.Usable(site) {
		v.Prove.Key = page.KeyAsk{Site: site, Ask: proofAt + "/ask", Action: proofAt + "/passkey"}
	}
	return v, nil
}

// keyRows are the passkeys in words.
func (s *server) keyRows(r *http.Request, k access.Keyring, site string) []page.Key {
	today, f, place := s.today(r), datesFor(r), s.placeOf(r)
	rows := make([]page.Key, len(k.Passkeys))
	for i := range k.Passkeys {
		p := &k.Passkeys[i]
		row := page.Key{Name: p.Name, Since: f.Since(day.Of(p.CreatedAt, place), today) + ", never used yet"}
		if !p.UsedAt.IsZero() {
			row.Since = f.Since(day.Of(p.CreatedAt, place), today) + ", used " + f.Near(day.Of(p.UsedAt, place), today)
		}
		if p.Site != site {
			row.Site = p.Site
		}
		if !p.RefusedAt.IsZero() {
			row.Copied = f.Since(day.Of(p.RefusedAt, place), today)
		}
		if k.Fresh {
			row.Remove = keysAt + "/" + idText(p.ID) + "/remove"
		}
		rows[i] = row
	}
	return rows
}

// keyNotice is noticeIn about passkeys.
func keyNotice(said string) part.Notice {
	switch said {
	case "key-added":
		return part.Notice{Text: "The passkey is added. It signs you in from now on."}
	case "key-removed":
		return part.Notice{Text: "The passkey is removed here, and the other logins that it opened have ended. Your device may still list it; delete it there too."}
	case "address-asked":
		return part.Notice{Text: "A letter is on its way to the new address. Open the link in it where you are signed in; until then nothing changes."}
	case "address-changed":
		return part.Notice{Text: "From now on you sign in with the new address. The one before is told."}
	case "proved":
		return part.Notice{Text: "Thank you. For ten minutes you can change how you sign in."}
	}
	return comingNotice(said)
}
