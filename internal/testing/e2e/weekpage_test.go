package e2e

import (
	"testing"

	"halfhour.app/halfhour/internal/testing/browser"
)

// weekDesk are the coach's pages of weeks, one of them of the athlete at the address.
func (d *demo) weekDesk(athlete string) []look {
	return []look{
		d.address("weeks", "/weeks"),
		{"weeks-next", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("a[rel=next]") }},
		d.address("groups", "/groups"),
		d.address("weeks-paper", "/weeks/print"),
		d.address("week-paper", athlete+"/week/print"),
		d.address("week-enter", athlete+"/week/enter"),
		d.address("calendar", "/club/calendar"),
		{"calendar-made", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("form[action='/club/calendar'] button") }},
		{"group-empty", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/groups"))
			browser.Eval[int](tab, "[...document.querySelectorAll('details')].map(d => d.open = true).length")
			tab.Fill("#new-name", "Nobody yet")
			return tab.Press("form[action='/groups'] button")
		}},
		d.address("week", athlete+"/week"),
		{"week-next", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("a[rel=next]") }},
		{"week-moving", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press(".item a[href*='move=']") }},
	}
}

// weekPhone are an athlete's own.
func (d *demo) weekPhone() []look {
	return []look{
		d.address("calendar", "/me/calendar"),
		d.address("week", "/week"),
		{"week-next", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("a[rel=next]") }},
		{"week-moving", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press(".item a[href*='move=']") }},
		{"week-moved", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("form.place button:not(.q)") }},
	}
}
