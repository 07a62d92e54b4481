package body_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
)

func TestPlacesAreFoundInWords(t *testing.T) {
	for _, c := range []struct {
		words string
		site  body.Site
		why   string
	}{
		{"left shin", body.Shin, "as the form stores it"},
		{"right Achilles", body.Achilles, "a capital letter in the middle"},
		{"back", body.Back, "a place that is there once"},
		{"Left big toe", body.Foot, "part of a place"},
		{"outer side of the KNEE", body.Knee, "somewhere in a sentence"},
		{"calves", body.Calf, "several"},
		{"hip/groin", body.Hip, "two names of one place"},
		{"knee and ankle", body.Knee | body.Ankle, "two places"},
		{"lower-back", body.Back, "a hyphen"},
		{"behind", 0, "nothing that we know"},
		{"", 0, "nothing at all"},
		{"ashinx", 0, "not the beginning of a word"},
	} {
		require.Equal(t, c.site, body.SiteOf(c.words), "%s: %s", c.words, c.why)
	}
}

func TestEveryPlaceIsFoundByItsOwnName(t *testing.T) {
	for _, s := range body.Sites() {
		require.Equal(t, s, body.SiteOf(s.String()))
		back, known := body.ParseSite(s.String())
		require.True(t, known)
		require.Equal(t, s, back)
	}
	_, known := body.ParseSite("Knee")
	require.False(t, known, "a name is written in one way")
	require.Equal(t, "knee, hip and back", (body.Back | body.Knee | body.Hip).String())
	require.Equal(t, "knee and hip", (body.Knee | body.Hip).String())
	require.Empty(t, body.Site(0).String())
	require.Equal(t, []body.Site{body.Knee, body.Hip}, (body.Hip | body.Knee).Each())
}

func TestWhatHurtsIsSparedFromThreeOn(t *testing.T) {
	pains := []body.Pain{{Words: "left knee", Score: 3}, {Words: "right hip", Score: 2}, {Words: "wrist", Score: 9}, {Words: "behind", Score: 4}, {Words: "side", Score: 1}}
	require.Equal(t, body.Knee|body.Wrist, body.Spared(pains), "0 to 2 is clear (rule 6.1)")
	require.Equal(t, []body.Pain{{Words: "behind", Score: 4}}, body.Unknown(pains))
}

func TestWhatAStateRulesOut(t *testing.T) {
	require.Equal(t, body.Pregnant, body.StateOf(true, 3), "expecting again counts more")
	require.Equal(t, body.JustBorn, body.StateOf(false, 0))
	require.Equal(t, body.JustBorn, body.StateOf(false, 11))
	require.Equal(t, body.Usual, body.StateOf(false, 12), "twelve whole weeks")
	require.Equal(t, body.Usual, body.StateOf(false, -1), "no birth")

	require.Zero(t, body.Usual.Forbids())
	require.NotZero(t, body.Pregnant.Forbids()&body.OnBack)
	require.Zero(t, body.JustBorn.Forbids()&body.OnBack, "lying is fine after a birth")
	require.NotZero(t, body.JustBorn.Forbids()&body.Strains)
	for _, d := range []body.Demand{body.OnBack, body.OnFront, body.Strains, body.Hops} {
		require.NotEmpty(t, d.Words())
	}
	require.Empty(t, body.Demand(0).Words())
}
