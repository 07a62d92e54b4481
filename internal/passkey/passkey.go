// Package passkey speaks WebAuthn with browsers: it writes the questions and checks
// the answers, with the library go-webauthn, whose types end here. It keeps nothing
// and asks no clock.
//
// A question asks for a passkey that the authenticator finds by itself
// (discoverable) and for the person to be verified by finger, face or PIN. Of what
// make an authenticator is, nobody asks: attestation is none.
package passkey

import (
	"encoding/json"
	"errors"
	"slices"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/protocol/webauthncose"
	"github.com/go-webauthn/webauthn/webauthn"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
)

// Keys is access.Keys.
type Keys struct{}

var _ access.Keys = Keys{}

// mostAnswer bounds an answer, in bytes: an attestation with certificates, which
// nobody asked for, stays below.
const mostAnswer = 64 << 10

// patience is how long a browser lets somebody look for the authenticator.
var patience = int(access.CeremonyHolds.Milliseconds())

// kinds of key, the first liked best. Every authenticator known to us has one of
// the three (common practice).
func kinds() []protocol.CredentialParameter {
	var list []protocol.CredentialParameter
	for _, algorithm := range []webauthncose.COSEAlgorithmIdentifier{webauthncose.AlgES256, webauthncose.AlgEdDSA, webauthncose.AlgRS256} {
		list = append(list, protocol.CredentialParameter{Type: protocol.PublicKeyCredentialType, Algorithm: algorithm})
	}
	return list
}

// AskToMake is the question for a new passkey.
func (Keys) AskToMake(site access.Site, owner access.KeyOwner, challenge []byte, there []access.Passkey) ([]byte, error) {
	needed := true
	return json.Marshal(protocol.PublicKeyCredentialCreationOptions{
		RelyingParty: protocol.RelyingPartyEntity{ID: site.Name, CredentialEntity: protocol.CredentialEntity{Name: "Halfhour"}},
		User: protocol.UserEntity{
			ID: protocol.URLEncodedBase64(owner.Handle), DisplayName: owner.Name,
			CredentialEntity: protocol.CredentialEntity{Name: owner.Email},
		},
		Challenge: challenge, Parameters: kinds(), Timeout: patience,
		CredentialExcludeList: descriptors(there),
		AuthenticatorSelection: protocol.AuthenticatorSelection{
			RequireResidentKey: &needed, ResidentKey: protocol.ResidentKeyRequirementRequired,
			UserVerification: protocol.VerificationRequired,
		},
		Attestation: protocol.PreferNoAttestation,
	})
}

// AskToSign is the question for a signature.
func (Keys) AskToSign(site access.Site, challenge []byte, by []access.Passkey) ([]byte, error) {
	return json.Marshal(protocol.PublicKeyCredentialRequestOptions{
		Challenge: challenge, Timeout: patience, RelyingPartyID: site.Name,
		AllowedCredentials: descriptors(by), UserVerification: protocol.VerificationRequired,
	})
}

// descriptors name passkeys to browsers.
func descriptors(keys []access.Passkey) []protocol.CredentialDescriptor {
	var list []protocol.CredentialDescriptor
	for i := range keys {
		d := protocol.CredentialDescriptor{Type: protocol.PublicKeyCredentialType, CredentialID: keys[i].Credential}
		for _, t := range keys[i].Transports {
			d.Transport = append(d.Transport, protocol.AuthenticatorTransport(t))
		}
		list = append(list, d)
	}
	return list
}

// Made reads the answer to AskToMake.
func (Keys) Made(site access.Site, owner access.KeyOwner, challenge, answer []byte) (access.Passkey, error) {
	if len(answer) > mostAnswer {
		return access.Passkey{}, refused(errTooLong)
	}
	parsed, err := protocol.ParseCredentialCreationResponseBytes(answer)
	if err != nil {
		return access.Passkey{}, refused(err)
	}
	party, err := partyOf(site)
	if err != nil {
		return access.Passkey{}, err
	}
	asked := sessionOf(site, owner.Handle, challenge)
	asked.CredParams = kinds()
	made, err := party.CreateCredential(user{handle: owner.Handle}, asked, parsed)
	if err != nil {
		return access.Passkey{}, refused(err)
	}
	return access.Passkey{
		Credential: made.ID, PublicKey: made.PublicKey, Count: made.Authenticator.SignCount,
		Eligible: made.Flags.BackupEligible, BackedUp: made.Flags.BackupState, Transports: transports(made.Transport),
	}, nil
}

// transports are those we know, each once; a browser may say anything.
func transports(said []protocol.AuthenticatorTransport) []string {
	list := []string{}
	for _, t := range []string{"ble", "hybrid", "internal", "nfc", "smart-card", "usb"} {
		if slices.Contains(said, protocol.AuthenticatorTransport(t)) {
			list = append(list, t)
		}
	}
	return list
}

// Named says which credential an answer names.
func (Keys) Named(answer []byte) ([]byte, error) {
	parsed, err := parse(answer)
	if err != nil {
		return nil, err
	}
	return parsed.RawID, nil
}

func parse(answer []byte) (*protocol.ParsedCredentialAssertionData, error) {
	if len(answer) > mostAnswer {
		return nil, refused(errTooLong)
	}
	parsed, err := protocol.ParseCredentialRequestResponseBytes(answer)
	if err != nil {
		return nil, refused(err)
	}
	return parsed, nil
}

// Signed checks that the passkey gave the answer to AskToSign.
func (Keys) Signed(site access.Site, challenge, answer []byte, by *access.Passkey) (access.Signed, error) {
	parsed, err := parse(answer)
	if err != nil {
		return access.Signed{}, err
	}
	party, err := partyOf(site)
	if err != nil {
		return access.Signed{}, err
	}
	known := webauthn.Credential{
		ID: by.Credential, PublicKey: by.PublicKey, AttestationFormat: "none",
		Flags:         webauthn.CredentialFlags{UserPresent: true, UserVerified: true, BackupEligible: by.Eligible, BackupState: by.BackedUp},
		Authenticator: webauthn.Authenticator{SignCount: by.Count},
	}
	asked := sessionOf(site, by.Handle(), challenge)
	asked.AllowedCredentialIDs = [][]byte{by.Credential}
	if _, err := party.ValidateLogin(user{handle: by.Handle(), keys: []webauthn.Credential{known}}, asked, parsed); err != nil {
		return access.Signed{}, refused(err)
	}
	data := parsed.Response.AuthenticatorData
	return access.Signed{Count: data.Counter, BackedUp: data.Flags.HasBackupState()}, nil
}

// partyOf is the site as the library knows it: one origin, and no page of another
// site around it.
func partyOf(site access.Site) (*webauthn.WebAuthn, error) {
	return webauthn.New(&webauthn.Config{RPID: site.Name, RPDisplayName: "Halfhour", RPOrigins: []string{site.Origin}})
}

// sessionOf is what the library would have kept of the question.
func sessionOf(site access.Site, handle, challenge []byte) webauthn.SessionData {
	return webauthn.SessionData{
		Challenge: protocol.URLEncodedBase64(challenge).String(), RelyingPartyID: site.Name, Origin: site.Origin, UserID: handle,
		UserVerification: protocol.VerificationRequired,
	}
}

var errTooLong = errors.New("the answer is too long")

// refused gives an answer that does not hold its kind, with the library's reason as
// the cause.
func refused(err error) error {
	var told *protocol.Error
	if errors.As(err, &told) && told.DevInfo != "" {
		err = errors.Join(err, errors.New(told.DevInfo))
	}
	return fault.Wrap(fault.Invalid, err)
}

// user is the owner of keys as the library asks for one.
type user struct {
	handle []byte
	keys   []webauthn.Credential
}

// WebAuthnID is the handle.
func (u user) WebAuthnID() []byte { return u.handle }

// WebAuthnName is not asked for when an answer is checked.
func (u user) WebAuthnName() string { return "" }

// WebAuthnDisplayName is not asked for either.
func (u user) WebAuthnDisplayName() string { return "" }

// WebAuthnCredentials are the keys.
func (u user) WebAuthnCredentials() []webauthn.Credential { return u.keys }
