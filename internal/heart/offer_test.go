package heart_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

func (s *scene) offers(t *testing.T) []heart.Offer {
	t.Helper()
	pulse, err := s.use.Pulse(context.Background(), s.coach, s.athlete.ID)
	require.NoError(t, err)
	return pulse.Offers
}

// peak attaches a recording whose highest rate held is this one.
func (s *scene) peak(t *testing.T, ago, bpm int) roster.RecordingID {
	t.Helper()
	one := s.session(t, ago, nil)
	s.attach(t, one, s.file(string(s.key()), one, 150, 100))
	s.Recorded[len(s.Recorded)-1].Reading.Peak = bpm
	return s.Recorded[len(s.Recorded)-1].ID
}

func TestAHigherMaximumIsOfferedAndNotTaken(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	today := day.On(2026, 4, 14)
	s.peak(t, 9, 184) // 211 − 0.64·41 is 184.76
	require.Empty(t, s.offers(t), "not above it")
	id := s.peak(t, 7, 185)
	offer := heart.Offer{Recording: id, Session: s.Recorded[1].Session, Date: today - 7, Peak: 185, Expected: 184}
	require.Equal(t, []heart.Offer{offer}, s.offers(t))
	pulse, err := s.use.Pulse(ctx, s.coach, s.athlete.ID)
	require.NoError(t, err)
	require.Equal(t, intensity.FromPredicted, pulse.Easy.Source, "nothing is taken silently")

	key := s.key()
	kind(t, fault.Invalid, s.use.TakeOffer(ctx, s.coach, s.athlete.ID, "", id))
	kind(t, fault.NotFound, s.use.TakeOffer(ctx, s.coach, s.athlete.ID, key, 999))
	kind(t, fault.NotFound, s.use.TakeOffer(ctx, s.coach, s.other.ID, key, id), "of another athlete")
	kind(t, fault.Conflict, s.use.TakeOffer(ctx, s.coach, s.athlete.ID, key, s.Recorded[0].ID), "that one is not offered")
	for range 2 {
		require.NoError(t, s.use.TakeOffer(ctx, s.coach, s.athlete.ID, key, id), "sent twice is the same as once")
	}
	require.Len(t, s.Measured, 1)
	m := s.Measured[0]
	require.Equal(t, roster.Measurement{
		ID: m.ID, Athlete: s.athlete.ID, Key: key, On: today - 7, Kind: roster.MaxObserved, BPM: 185, At: s.now, ByCoach: s.coach.Coach, By: "Owner of Harbour",
	}, m)
	require.Empty(t, s.offers(t))
	pulse, err = s.use.Pulse(ctx, s.coach, s.athlete.ID)
	require.NoError(t, err)
	require.Equal(t, intensity.Ceiling{BPM: 140, SD: 2280, Source: intensity.FromMeasured}, pulse.Easy)

	higher := s.peak(t, 2, 188)
	require.Equal(t, []heart.Offer{{Recording: higher, Session: s.Recorded[2].Session, Date: today - 2, Peak: 188, Expected: 185, Measured: true}}, s.offers(t))
}

func TestOffersThatAreNone(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	today := day.On(2026, 4, 14)
	id := s.peak(t, 7, 190)
	require.Len(t, s.offers(t), 1)

	s.measured(t, roster.MaxMeasured, 189, today-3)
	require.Len(t, s.offers(t), 1, "measured since, but lower")
	s.measured(t, roster.MaxMeasured, 190, today-1)
	require.Empty(t, s.offers(t), "a test since then was as high")

	other := s.peak(t, 0, 231)
	require.Empty(t, s.offers(t), "no heart beats like that")
	s.Recorded[1].Reading.Peak = 195
	require.Len(t, s.offers(t), 1)
	require.NoError(t, s.use.PassOver(ctx, s.coach, s.athlete.ID, other))
	require.Empty(t, s.offers(t))
	kind(t, fault.NotFound, s.use.PassOver(ctx, s.coach, s.other.ID, id))

	s.Recorded[1].PassedBy = false
	require.Len(t, s.offers(t), 1)
	s.athlete.HeartUsable = false
	s.Athletes[s.athlete.ID] = s.athlete
	require.Empty(t, s.offers(t), "whose heart rate says nothing of effort has no maximum to be found")
}
