package e2e

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// lifts are the pages of strength on the phone of somebody who has a programme.
func (d *demo) lifts() []look {
	return []look{
		d.address("strength", "/strength"),
		{"strength-steps", 200, func(t *testing.T, tab *browser.Tab) int64 {
			status := tab.Open(reach(d.Program, "/strength"))
			before := browser.Eval[string](tab, "document.getElementById('lift[0].set[0]').value")
			browser.Eval[int](tab, "(document.querySelector('.steps button[value=\"lift[0].set[0] +\"]').click(), 0)")
			require.NotEqual(t, before, browser.Eval[string](tab, "document.getElementById('lift[0].set[0]').value"), "a step in place")
			require.Equal(t, "/strength", tab.Path())
			return status
		}},
		d.address("strength-gear", "/strength/gear"),
	}
}

// liftDesk are the pages of strength for coaches.
func (d *demo) liftDesk(t *testing.T, tab *browser.Tab) []look {
	t.Helper()
	tab.Open(reach(d.Program, "/roster?find=Priya"))
	at := browser.Eval[string](tab, "[...document.querySelectorAll('main a[href^=\"/athletes/\"]')].find(a => a.textContent.includes('Priya')).getAttribute('href')")
	return []look{
		d.address("strength-athlete", at+"/strength"), d.address("strength-programme", at+"/strength/programme"), d.address("strength-log", at+"/strength/log"),
		d.address("strength-none", "/athletes/1/strength"), d.address("exercises", "/exercises"), d.address("exercise-new", "/exercises/new"),
	}
}
