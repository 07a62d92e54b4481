package passkey_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/passkey"
)

var (
	keys      passkey.Keys
	here      = access.Site{Name: "run.example.org", Origin: "https://run.example.org"}
	challenge = bytes.Repeat([]byte{7}, 32)
)

// owner is the coach 2 of club 1, as access.Passkey names its own.
func owner() access.KeyOwner {
	k := access.Passkey{Club: 1, Coach: 2}
	return access.KeyOwner{Handle: k.Handle(), Name: "Mara Lindqvist", Email: "mara@example.org"}
}

// enlisted makes a passkey in the device and gives it as it would be kept.
func enlisted(t testing.TB, d *device) access.Passkey {
	t.Helper()
	d.handle = owner().Handle
	q, err := keys.AskToMake(here, owner(), challenge, nil)
	require.NoError(t, err)
	k, err := keys.Made(here, owner(), challenge, d.made(t, q))
	require.NoError(t, err)
	k.Club, k.Coach = 1, 2
	return k
}

func TestFromTheQuestionToTheSignature(t *testing.T) {
	d := newDevice(t)
	d.count, d.flags = 4, d.flags|eligible
	k := enlisted(t, d)
	require.Equal(t, d.id, k.Credential)
	require.EqualValues(t, 4, k.Count)
	require.True(t, k.Eligible)
	require.False(t, k.BackedUp)
	require.Equal(t, []string{"hybrid", "internal"}, k.Transports, "those that are known")

	q, err := keys.AskToSign(here, challenge, nil)
	require.NoError(t, err)
	d.count, d.flags = 5, d.flags|backedUp
	answer := d.signed(t, q)
	named, err := keys.Named(answer)
	require.NoError(t, err)
	require.Equal(t, d.id, named)
	n, err := keys.Signed(here, challenge, answer, &k)
	require.NoError(t, err)
	require.Equal(t, access.Signed{Count: 5, BackedUp: true}, n)
	d.count = 1
	n, err = keys.Signed(here, challenge, d.signed(t, q), &k)
	require.NoError(t, err, "what the count means, others decide")
	require.EqualValues(t, 1, n.Count)
}

// What a question asks for is what browsers are told, in their own words.
func TestQuestions(t *testing.T) {
	k := access.Passkey{Credential: []byte("one"), Transports: []string{"usb"}}
	q, err := keys.AskToMake(here, owner(), challenge, []access.Passkey{k})
	require.NoError(t, err)
	var asked map[string]any
	require.NoError(t, json.Unmarshal(q, &asked))
	selection := asked["authenticatorSelection"].(map[string]any)
	require.Equal(t, "required", selection["residentKey"])
	require.Equal(t, "required", selection["userVerification"])
	require.Equal(t, "none", asked["attestation"])
	require.Equal(t, "run.example.org", asked["rp"].(map[string]any)["id"])
	require.Equal(t, b64(owner().Handle), asked["user"].(map[string]any)["id"])
	require.Equal(t, b64(challenge), asked["challenge"])
	require.Equal(t, b64(k.Credential), asked["excludeCredentials"].([]any)[0].(map[string]any)["id"])
	require.InDelta(t, access.CeremonyHolds.Milliseconds(), asked["timeout"], 0)

	q, err = keys.AskToSign(here, challenge, nil)
	require.NoError(t, err)
	asked = nil
	require.NoError(t, json.Unmarshal(q, &asked))
	require.Equal(t, "required", asked["userVerification"])
	require.Equal(t, "run.example.org", asked["rpId"])
	require.NotContains(t, asked, "allowCredentials", "any of the site")
}

func TestSignaturesThatAreNotTaken(t *testing.T) {
	for why, lie := range map[string]func(*device){
		"at another origin":             func(d *device) { d.origin = "https://run.example.net" },
		"without https":                 func(d *device) { d.origin = "http://run.example.org" },
		"on another port":               func(d *device) { d.origin = "https://run.example.org:8443" },
		"below the host":                func(d *device) { d.origin = "https://evil.run.example.org" },
		"for another relying party":     func(d *device) { d.site = "example.org" },
		"by nobody who was verified":    func(d *device) { d.flags = present },
		"by nobody who was there":       func(d *device) { d.flags = verified },
		"in a frame of another site":    func(d *device) { d.cross = true },
		"in the name of another":        func(d *device) { k := access.Passkey{Club: 1, Coach: 3}; d.handle = k.Handle() },
		"by another credential":         func(d *device) { d.id = []byte("another") },
		"by another key":                func(d *device) { d.key = newDevice(t).key },
		"for the other ceremony":        func(d *device) { d.kind = "webauthn.create" },
		"by what may be copied at once": func(d *device) { d.flags |= eligible },
		"backed up, which it cannot be": func(d *device) { d.flags |= backedUp },
	} {
		d := newDevice(t)
		k := enlisted(t, d)
		lie(d)
		q, err := keys.AskToSign(here, challenge, nil)
		require.NoError(t, err)
		_, err = keys.Signed(here, challenge, d.signed(t, q), &k)
		require.Equal(t, fault.Invalid, fault.KindOf(err), "%s: %v", why, err)
	}
	d := newDevice(t)
	k := enlisted(t, d)
	q, err := keys.AskToSign(here, challenge, nil)
	require.NoError(t, err)
	answer := d.signed(t, q)
	_, err = keys.Signed(here, bytes.Repeat([]byte{8}, 32), answer, &k)
	require.Equal(t, fault.Invalid, fault.KindOf(err), "for another challenge")
	_, err = keys.Signed(access.Site{Name: "run.example.net", Origin: "https://run.example.net"}, challenge, answer, &k)
	require.Equal(t, fault.Invalid, fault.KindOf(err), "at another site")
}

func TestPasskeysThatAreNotTaken(t *testing.T) {
	for why, lie := range map[string]func(*device){
		"at another origin":             func(d *device) { d.origin = "https://run.example.net" },
		"for another relying party":     func(d *device) { d.site = "run.example.net" },
		"by nobody who was verified":    func(d *device) { d.flags = present },
		"by nobody who was there":       func(d *device) { d.flags = verified },
		"in a frame of another site":    func(d *device) { d.cross = true },
		"for the other ceremony":        func(d *device) { d.kind = "webauthn.get" },
		"backed up, which it cannot be": func(d *device) { d.flags |= backedUp },
		"under too long a name":         func(d *device) { d.id = make([]byte, 1024) },
	} {
		d := newDevice(t)
		lie(d)
		q, err := keys.AskToMake(here, owner(), challenge, nil)
		require.NoError(t, err)
		_, err = keys.Made(here, owner(), challenge, d.made(t, q))
		require.Equal(t, fault.Invalid, fault.KindOf(err), "%s: %v", why, err)
	}
	d := newDevice(t)
	q, err := keys.AskToMake(here, owner(), challenge, nil)
	require.NoError(t, err)
	_, err = keys.Made(here, owner(), bytes.Repeat([]byte{8}, 32), d.made(t, q))
	require.Equal(t, fault.Invalid, fault.KindOf(err), "for another challenge")
}

func FuzzAnswers(f *testing.F) {
	f.Add([]byte(`{"id":"AAAA","rawId":"AAAA","type":"public-key","response":{}}`))
	f.Add([]byte("null"))
	f.Add([]byte(`{"id":"AAAA","rawId":"AAAA","type":"public-key","response":{"clientDataJSON":"e30","attestationObject":"o2NmbXRkbm9uZWdhdHRTdG10oGhhdXRoRGF0YUA"}}`))
	f.Fuzz(func(t *testing.T, answer []byte) {
		for _, err := range []error{errOf(keys.Named(answer)), errOf(keys.Made(here, owner(), challenge, answer))} {
			if err != nil {
				require.Equal(t, fault.Invalid, fault.KindOf(err))
			}
		}
	})
}

func errOf[T any](_ T, err error) error { return err }

func TestAnAnswerThatIsTooLongIsNotRead(t *testing.T) {
	long := bytes.Repeat([]byte(" "), 64<<10+1)
	require.Equal(t, fault.Invalid, fault.KindOf(errOf(keys.Named(long))))
	require.Equal(t, fault.Invalid, fault.KindOf(errOf(keys.Made(here, owner(), challenge, long))))
}

// What it costs to check a signature; a password takes some 40 ms and 19 MiB.
func BenchmarkSigned(b *testing.B) {
	d := newDevice(b)
	k := enlisted(b, d)
	q, err := keys.AskToSign(here, challenge, nil)
	require.NoError(b, err)
	answer := d.signed(b, q)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := keys.Signed(here, challenge, answer, &k); err != nil {
			b.Fatal(err)
		}
	}
}
