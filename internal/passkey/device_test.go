package passkey_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

// device is an authenticator and the browser in front of it, written after the
// specification (Web Authentication Level 2, sections 5.8.1, 6.1 and 6.5; from
// memory), so that each of its words can be a lie.
type device struct {
	key    *ecdsa.PrivateKey
	id     []byte
	handle []byte
	count  uint32
	site   string // relying party ID that it signs for
	origin string
	flags  byte
	cross  bool   // the page is inside one of another site
	kind   string // of ceremony, where it says another than it is in
}

// The flags of authenticator data.
const (
	present  = 1 << 0
	verified = 1 << 2
	eligible = 1 << 3
	backedUp = 1 << 4
	attested = 1 << 6
)

func newDevice(t testing.TB) *device {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	id := make([]byte, 32)
	_, err = rand.Read(id)
	require.NoError(t, err)
	return &device{key: key, id: id, site: "run.example.org", origin: "https://run.example.org", flags: present | verified}
}

func b64(b []byte) string { return base64.RawURLEncoding.EncodeToString(b) }

// clientData is what the browser says of the ceremony.
func (d *device) clientData(t testing.TB, kind string, question []byte) []byte {
	t.Helper()
	var q struct {
		Challenge string `json:"challenge"`
	}
	require.NoError(t, json.Unmarshal(question, &q))
	if d.kind != "" {
		kind = d.kind
	}
	text, err := json.Marshal(map[string]any{"type": kind, "challenge": q.Challenge, "origin": d.origin, "crossOrigin": d.cross})
	require.NoError(t, err)
	return text
}

// data is authenticator data with the flags of this ceremony.
func (d *device) data(more byte) []byte {
	site := sha256.Sum256([]byte(d.site))
	return binary.BigEndian.AppendUint32(append(site[:], d.flags|more), d.count)
}

// bytesOf is a byte string in CBOR, of less than 64 KiB.
func bytesOf(b []byte) []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0x59}, uint16(len(b))), b...)
}

// textOf is a short text in CBOR.
func textOf(s string) []byte { return append([]byte{0x60 | byte(len(s))}, s...) }

// cose is the public key: EC2, ES256, P-256, x and y.
func (d *device) cose(t testing.TB) []byte {
	t.Helper()
	point, err := d.key.PublicKey.Bytes()
	require.NoError(t, err)
	key := []byte{0xa5, 0x01, 0x02, 0x03, 0x26, 0x20, 0x01, 0x21}
	key = append(key, bytesOf(point[1:33])...)
	return append(append(key, 0x22), bytesOf(point[33:])...)
}

// made answers a question for a new passkey.
func (d *device) made(t testing.TB, question []byte) []byte {
	t.Helper()
	data := append(d.data(attested), make([]byte, 16)...) // of no make
	data = append(binary.BigEndian.AppendUint16(data, uint16(len(d.id))), d.id...)
	data = append(data, d.cose(t)...)
	object := append([]byte{0xa3}, textOf("fmt")...)
	object = append(append(object, textOf("none")...), textOf("attStmt")...)
	object = append(append(append(object, 0xa0), textOf("authData")...), bytesOf(data)...)
	return d.answer(t, map[string]any{
		"clientDataJSON": b64(d.clientData(t, "webauthn.create", question)), "attestationObject": b64(object), "transports": []string{"internal", "pigeon", "hybrid"},
	})
}

// signed answers a question for a signature.
func (d *device) signed(t testing.TB, question []byte) []byte {
	t.Helper()
	said, data := d.clientData(t, "webauthn.get", question), d.data(0)
	hash := sha256.Sum256(said)
	whole := sha256.Sum256(append(data[:len(data):len(data)], hash[:]...))
	signature, err := ecdsa.SignASN1(rand.Reader, d.key, whole[:])
	require.NoError(t, err)
	return d.answer(t, map[string]any{
		"clientDataJSON": b64(said), "authenticatorData": b64(data), "signature": b64(signature), "userHandle": b64(d.handle),
	})
}

func (d *device) answer(t testing.TB, response map[string]any) []byte {
	t.Helper()
	text, err := json.Marshal(map[string]any{"id": b64(d.id), "rawId": b64(d.id), "type": "public-key", "response": response, "clientExtensionResults": map[string]any{}})
	require.NoError(t, err)
	return text
}
