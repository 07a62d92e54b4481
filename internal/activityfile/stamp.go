package activityfile

import "time"

// parseStamp reads a date with a time of day, as milliseconds since 1970:
// 2021-03-24T21:40:55.5+01:00 and its relatives (a space for the T, slashes, no
// colon in the offset, a comma before the fraction), and 24.3.2021 21:40:55. Without an
// offset it is taken as UTC. Anything else: false.
func parseStamp(text []byte) (int64, bool) {
	s := scanner{rest: text}
	year, month, day := s.date()
	if s.one("Tt ") == 0 {
		return 0, false
	}
	inDay := s.clock()
	inDay -= s.offset()
	if s.wrong || len(s.rest) != 0 || month < 1 || month > 12 {
		return 0, false
	}
	midnight := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if midnight.Day() != day {
		return 0, false // the 30th of February
	}
	return midnight.UnixMilli() + inDay, true
}

// parseSpan reads h:mm:ss or mm:ss, each also with a fraction, as milliseconds.
func parseSpan(text []byte) (int64, bool) {
	s := scanner{rest: text}
	first := int64(s.digits(1, 4))
	s.need(":")
	second := int64(s.digits(2, 2))
	if second > 59 {
		return 0, false
	}
	seconds := first*60 + second
	if s.one(":") != 0 {
		third := int64(s.digits(2, 2))
		if third > 59 {
			return 0, false
		}
		seconds = seconds*60 + third
	}
	thousandths := s.fraction()
	return seconds*1000 + thousandths, !s.wrong && len(s.rest) == 0
}

// scanner takes a time apart from its left end.
type scanner struct {
	rest  []byte
	wrong bool
}

// one takes the next letter when it is one of these, else 0.
func (s *scanner) one(of string) byte {
	if len(s.rest) > 0 {
		for i := range len(of) {
			if s.rest[0] == of[i] {
				s.rest = s.rest[1:]
				return of[i]
			}
		}
	}
	return 0
}

func (s *scanner) need(of string) {
	if s.one(of) == 0 {
		s.wrong = true
	}
}

// digits takes a whole number of so many digits.
func (s *scanner) digits(least, most int) int {
	n, taken := 0, 0
	for taken < most && taken < len(s.rest) && '0' <= s.rest[taken] && s.rest[taken] <= '9' {
		n = n*10 + int(s.rest[taken]-'0')
		taken++
	}
	if taken < least {
		s.wrong = true
	}
	s.rest = s.rest[taken:]
	return n
}

// date takes 2021-03-24, 2021/03/24 or 24.03.2021.
func (s *scanner) date() (year, month, day int) {
	if len(s.rest) > 4 && (s.rest[1] == '.' || s.rest[2] == '.') {
		day = s.digits(1, 2)
		s.need(".")
		month = s.digits(1, 2)
		s.need(".")
		return s.digits(4, 4), month, day
	}
	year = s.digits(4, 4)
	between := s.one("-/")
	if between == 0 {
		s.wrong = true
		return year, 0, 0
	}
	month = s.digits(1, 2)
	s.need(string(between))
	return year, month, s.digits(1, 2)
}

// clock takes 21:40:55.5 as milliseconds since midnight.
func (s *scanner) clock() int64 {
	hour := s.digits(1, 2)
	s.need(":")
	minute := s.digits(2, 2)
	s.need(":")
	second := s.digits(2, 2)
	if hour > 23 || minute > 59 || second > 60 {
		s.wrong = true
	}
	return int64(hour*3600+minute*60+second)*1000 + s.fraction()
}

// fraction takes .5 or ,512345 as thousandths, the rest dropped; none is 0.
func (s *scanner) fraction() int64 {
	if s.one(".,") == 0 {
		return 0
	}
	thousandths, worth := int64(0), int64(100)
	before := len(s.rest)
	for len(s.rest) > 0 && '0' <= s.rest[0] && s.rest[0] <= '9' {
		thousandths += worth * int64(s.rest[0]-'0')
		worth /= 10
		s.rest = s.rest[1:]
	}
	if len(s.rest) == before {
		s.wrong = true
	}
	return thousandths
}

// offset takes Z, +01:00, +0100, +01 or UTC as milliseconds east; none is 0.
func (s *scanner) offset() int64 {
	s.one(" ")
	if name := string(s.rest); name == "Z" || name == "z" || name == "UTC" || name == "GMT" {
		s.rest = nil
		return 0
	}
	sign := s.one("+-")
	if sign == 0 {
		return 0
	}
	hours, minutes := s.digits(2, 2), 0
	if s.one(":") != 0 || len(s.rest) > 0 {
		minutes = s.digits(2, 2)
	}
	if hours > 23 || minutes > 59 {
		s.wrong = true
	}
	east := int64(hours*60+minutes) * 60_000
	if sign == '-' {
		return -east
	}
	return east
}
