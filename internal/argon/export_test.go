package argon

// Take and Give hold a turn, for tests.
func (h *Hasher) Take() { h.turns <- struct{}{} }
func (h *Hasher) Give() { h.give() }
