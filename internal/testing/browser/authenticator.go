package browser

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"
)

// Authenticator is what holds the passkeys of somebody's device, and touches itself.
type Authenticator struct {
	tab *Tab
	id  webauthn.AuthenticatorID
}

// Authenticator gives the tab one, which verifies whoever asks.
func (b *Tab) Authenticator() *Authenticator {
	b.t.Helper()
	a := &Authenticator{tab: b}
	run(b, func(ctx context.Context) error {
		if _, err := chromedp.Call(ctx, webauthn.Enable, webauthn.EnableParams{}); err != nil {
			return err
		}
		made, err := chromedp.Call(ctx, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
			Protocol: webauthn.AuthenticatorProtocolCtap2, Ctap2version: webauthn.Ctap2versionCtap21, Transport: webauthn.AuthenticatorTransportInternal,
			HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true,
		}})
		if err == nil {
			a.id = made.AuthenticatorID
		}
		return err
	})
	return a
}

// Knows says whether it recognises the person from now on.
func (a *Authenticator) Knows(person bool) {
	a.tab.t.Helper()
	run(a.tab, func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, webauthn.SetUserVerified, webauthn.SetUserVerifiedParams{AuthenticatorID: a.id, IsUserVerified: person})
		return err
	})
}

// Keys are the passkeys in it.
func (a *Authenticator) Keys() (keys []*webauthn.Credential) {
	a.tab.t.Helper()
	run(a.tab, func(ctx context.Context) error {
		held, err := chromedp.Call(ctx, webauthn.GetCredentials, webauthn.GetCredentialsParams{AuthenticatorID: a.id})
		if err == nil {
			keys = held.Credentials
		}
		return err
	})
	return keys
}

// held is a passkey without what only newer authenticators take, which the library's
// own type always sends along.
type held struct {
	CredentialID         []byte  `json:"credentialId"`
	IsResidentCredential bool    `json:"isResidentCredential"`
	RPID                 string  `json:"rpId"`
	PrivateKey           []byte  `json:"privateKey"`
	UserHandle           []byte  `json:"userHandle"`
	SignCount            float64 `json:"signCount"`
}

type addHeld struct {
	AuthenticatorID webauthn.AuthenticatorID `json:"authenticatorId"`
	Credential      held                     `json:"credential"`
}

// Copy takes over the passkeys of another, as nobody should be able to.
func (a *Authenticator) Copy(of *Authenticator) {
	a.tab.t.Helper()
	add := cdp.Command[addHeld, cdp.Empty]{Method: webauthn.CommandAddCredential}
	for _, k := range of.Keys() {
		run(a.tab, func(ctx context.Context) error {
			_, err := chromedp.Call(ctx, add, addHeld{a.id, held{k.CredentialID, k.IsResidentCredential, k.RpID, k.PrivateKey, k.UserHandle, k.SignCount}})
			return err
		})
	}
}
