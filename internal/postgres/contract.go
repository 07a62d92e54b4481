package postgres

import (
	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/routine"
)

// What the use cases ask, kept by one store.
var (
	_ access.Store   = (*Store)(nil)
	_ calendar.Store = (*Store)(nil)
	_ enrol.Store    = (*Store)(nil)
	_ entry.Store    = (*Store)(nil)
	_ days.Store     = (*Store)(nil)
	_ decide.Store   = (*Store)(nil)
	_ heart.Store    = (*Store)(nil)
	_ join.Store     = (*Store)(nil)
	_ lift.Store     = (*Store)(nil)
	_ morning.Store  = (*Store)(nil)
	_ privacy.Store  = (*Store)(nil)
	_ post.Store     = (*Store)(nil)
	_ post.Readers   = (*Store)(nil)
	_ outdoors.Store = (*Store)(nil)
	_ routine.Store  = (*Store)(nil)
)
