package fake

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// BeginCeremony keeps until when a secret may be used.
func (s *Store) BeginCeremony(_ context.Context, secret access.Hash, _, until time.Time) error {
	done, err := s.enter()
	defer done()
	if err == nil {
		s.asked[secret] = until
	}
	return err
}

// EndCeremony uses the secret up.
func (s *Store) EndCeremony(_ context.Context, secret access.Hash, now time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	until := s.asked[secret]
	delete(s.asked, secret)
	if !now.Before(until) {
		return fault.New(fault.Gone, "")
	}
	return nil
}

// AddPasskey keeps a passkey.
func (s *Store) AddPasskey(_ context.Context, who roster.Actor, k access.Passkey) (roster.PasskeyID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if slices.ContainsFunc(s.Keyed, func(o access.Passkey) bool { return bytes.Equal(o.Credential, k.Credential) }) {
		return 0, fault.New(fault.Conflict, "")
	}
	k.ID = roster.PasskeyID(s.next())
	s.Keyed = append(s.Keyed, k)
	s.Audit = append(s.Audit, who)
	return k.ID, nil
}

// Passkeys of a coach, the newest first.
func (s *Store) Passkeys(_ context.Context, club roster.ClubID, coach roster.CoachID) ([]access.Passkey, error) {
	done, err := s.enter()
	defer done()
	var own []access.Passkey
	for _, k := range slices.Backward(s.Keyed) {
		if k.Club == club && k.Coach == coach {
			own = append(own, k)
		}
	}
	return own, err
}

// ByCredential finds a passkey.
func (s *Store) ByCredential(_ context.Context, credential []byte) (access.Passkey, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return access.Passkey{}, err
	}
	for _, k := range s.Keyed {
		if bytes.Equal(k.Credential, credential) {
			return k, nil
		}
	}
	return access.Passkey{}, notFound()
}

// SignedBy notes that the passkey signed.
func (s *Store) SignedBy(_ context.Context, k access.Passkey, n access.Signed, now time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	for i := range s.Keyed {
		o := &s.Keyed[i]
		if o.ID == k.ID && o.RefusedAt.IsZero() && (n.Count > o.Count || n.Count == 0 && o.Count == 0) {
			o.Count, o.BackedUp, o.UsedAt = n.Count, n.BackedUp, now
			return nil
		}
	}
	return fault.New(fault.Conflict, "")
}

// RefusePasskey notes that its count went back.
func (s *Store) RefusePasskey(_ context.Context, k access.Passkey, now time.Time) error {
	done, err := s.enter()
	defer done()
	for i := range s.Keyed {
		if err == nil && s.Keyed[i].ID == k.ID {
			s.Keyed[i].RefusedAt = now
			s.Audit = append(s.Audit, roster.Actor{Club: k.Club})
		}
	}
	return err
}

// RemovePasskey removes a coach's own, with the logins that it opened.
func (s *Store) RemovePasskey(_ context.Context, who roster.Actor, id roster.PasskeyID, _ time.Time, keep roster.LoginID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	before := len(s.Keyed)
	s.Keyed = slices.DeleteFunc(s.Keyed, func(k access.Passkey) bool {
		return k.ID == id && k.Club == who.Club && k.Coach == who.Coach
	})
	if len(s.Keyed) == before {
		return notFound()
	}
	for login, l := range s.Kept {
		if l.Passkey == id && login != keep {
			delete(s.Kept, login)
		}
	}
	s.Audit = append(s.Audit, who)
	return nil
}

// Prove notes that the coach was asked again.
func (s *Store) Prove(_ context.Context, who roster.Actor, id roster.LoginID, now time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	l, ok := s.Kept[id]
	if !ok || l.Club != who.Club || l.Coach != who.Coach {
		return notFound()
	}
	l.Proved = now
	s.Kept[id] = l
	return nil
}

// Keys stand in for WebAuthn: a signature is the question itself, repeated.
type Keys struct{}

var _ access.Keys = Keys{}

// keyAsked is a question, and an answer: which key says that it signed what.
type keyAsked struct {
	Challenge []byte   `json:"challenge"`
	By        [][]byte `json:"by,omitempty"`
	Origin    string   `json:"origin"`
	Key       []byte   `json:"key,omitempty"`
	Count     uint32   `json:"count,omitempty"`
}

// SignWith answers a question as the key of the name would, having signed so often.
func SignWith(question []byte, key string, count uint32) []byte {
	var q keyAsked
	if err := json.Unmarshal(question, &q); err != nil {
		panic(err)
	}
	q.By, q.Key, q.Count = nil, []byte(key), count
	answer, err := json.Marshal(q)
	if err != nil {
		panic(err)
	}
	return answer
}

func ask(site access.Site, challenge []byte, keys []access.Passkey) ([]byte, error) {
	q := keyAsked{Challenge: challenge, Origin: site.Origin}
	for _, k := range keys {
		q.By = append(q.By, k.Credential)
	}
	return json.Marshal(q)
}

// AskToMake asks for a new one.
func (Keys) AskToMake(site access.Site, _ access.KeyOwner, challenge []byte, there []access.Passkey) ([]byte, error) {
	return ask(site, challenge, there)
}

// AskToSign asks for a signature.
func (Keys) AskToSign(site access.Site, challenge []byte, by []access.Passkey) ([]byte, error) {
	return ask(site, challenge, by)
}

func read(site access.Site, challenge, answer []byte) (keyAsked, error) {
	var a keyAsked
	err := json.Unmarshal(answer, &a)
	if err != nil || len(a.Key) == 0 || !bytes.Equal(a.Challenge, challenge) || a.Origin != site.Origin {
		return a, fault.New(fault.Invalid, "")
	}
	return a, nil
}

// Made reads a new one.
func (Keys) Made(site access.Site, _ access.KeyOwner, challenge, answer []byte) (access.Passkey, error) {
	a, err := read(site, challenge, answer)
	return access.Passkey{Credential: a.Key, PublicKey: a.Key, Count: a.Count}, err
}

// Named says whose the answer claims to be.
func (Keys) Named(answer []byte) ([]byte, error) {
	var a keyAsked
	if json.Unmarshal(answer, &a) != nil || len(a.Key) == 0 {
		return nil, fault.New(fault.Invalid, "")
	}
	return a.Key, nil
}

// Signed checks the answer.
func (Keys) Signed(site access.Site, challenge, answer []byte, by *access.Passkey) (access.Signed, error) {
	a, err := read(site, challenge, answer)
	if err == nil && !bytes.Equal(a.Key, by.PublicKey) {
		err = fault.New(fault.Invalid, "")
	}
	return access.Signed{Count: a.Count}, err
}
