package jobbook

// readDate reads 2026-03-09 or an RFC 3339 time beginning with it, and gives
// the seconds since 1970 (UTC). The day must exist.
func readDate(s string) (int64, bool) {
	if len(s) < 10 || len(s) > 40 || s[4] != '-' || s[7] != '-' {
		return 0, false
	}
	y, ok1 := digits(s[:4])
	m, ok2 := digits(s[5:7])
	d, ok3 := digits(s[8:10])
	if !ok1 || !ok2 || !ok3 || m < 1 || m > 12 || d < 1 || d > monthDays(y, m) {
		return 0, false
	}
	sec := days(y, m, d) * 86400
	if len(s) == 10 {
		return sec, true
	}
	clock, ok := readClock(s[10:])
	return sec + clock, ok
}

// readClock reads T14:05, T14:05:09, T14:05:09.123, each with Z, +02:00 or
// nothing after it.
func readClock(s string) (int64, bool) {
	if len(s) < 6 || s[0]|0x20 != 't' && s[0] != ' ' || s[3] != ':' {
		return 0, false
	}
	h, ok1 := digits(s[1:3])
	m, ok2 := digits(s[4:6])
	if !ok1 || !ok2 || h > 23 || m > 59 {
		return 0, false
	}
	sec := h*3600 + m*60
	s = s[6:]
	if len(s) >= 3 && s[0] == ':' {
		x, ok := digits(s[1:3])
		if !ok || x > 60 {
			return 0, false
		}
		sec += x
		s = s[3:]
		if len(s) > 1 && s[0] == '.' {
			s = s[1:]
			for s != "" && isDigit(s[0]) {
				s = s[1:]
			}
		}
	}
	switch {
	case s == "" || s == "Z" || s == "z":
		return sec, true
	case len(s) == 6 && (s[0] == '+' || s[0] == '-') && s[3] == ':':
		oh, ok1 := digits(s[1:3])
		om, ok2 := digits(s[4:6])
		if s[0] == '-' {
			return sec + oh*3600 + om*60, ok1 && ok2
		}
		return sec - oh*3600 - om*60, ok1 && ok2
	}
	return 0, false
}

func digits(s string) (int64, bool) {
	n := int64(0)
	for i := range len(s) {
		if !isDigit(s[i]) {
			return 0, false
		}
		n = n*10 + int64(s[i]-'0')
	}
	return n, s != ""
}

func monthDays(y, m int64) int64 {
	switch m {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if y%4 == 0 && (y%100 != 0 || y%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}

// days counts from 1970-01-01 in the proleptic Gregorian calendar: years start in March, so that
// the leap day is the last.
func days(y, m, d int64) int64 {
	if m <= 2 {
		y--
		m += 12
	}
	// 153/5 is the mean of the months' lengths from March on; 719,468 days lie
	// between 0000-03-01 and 1970-01-01.
	return 365*y + y/4 - y/100 + y/400 + (153*(m-3)+2)/5 + d - 1 - 719468
}
