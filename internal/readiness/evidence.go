package readiness

// evidence is what Tell needs beyond the verdict itself.
type evidence struct{}
