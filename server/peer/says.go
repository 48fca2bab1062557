package peer

import (
	"fmt"
	"strings"
	"time"
)

// patienceOfPeople is for how long a copy may lag before anybody is bothered with it.
const patienceOfPeople = 15 * time.Minute

// Trouble says what of the copies needs someone's attention; nil while none does. A line that is down
// for a moment is none.
func (k *Keeper) Trouble() error {
	k.mu.Lock()
	broken := k.broken
	k.mu.Unlock()
	if broken != nil {
		return broken
	}
	for _, s := range k.States() {
		for _, way := range []string{"out", "in"} {
			l := s.Legs()[way]
			if l == nil {
				continue
			}
			if n := len(l.Aside); n > 0 {
				return fmt.Errorf("the copy at %s: %s set aside; see 'The office' for which, and why", s.Name, records(n))
			}
			if !l.FaultAt.IsZero() && k.Now().Sub(l.FaultAt) > patienceOfPeople {
				return fmt.Errorf("the copy at %s is not kept up: %s", s.Name, l.lag(k.Now()))
			}
		}
	}
	return nil
}

// lag says in words how far a leg is behind, since when, and last why: that may end in a question.
func (l *Leg) lag(now time.Time) string {
	var how []string
	if l.Waiting > 0 {
		how = append(how, changes(l.Waiting)+" waiting")
	}
	if !l.Success.IsZero() {
		how = append(how, "last equal "+SayTime(l.Success, now))
	}
	if n := len(l.Aside); n > 0 {
		how = append(how, records(n)+" set aside")
	}
	if len(how) == 0 {
		return l.Fault
	}
	return strings.Join(how, ", ") + "; " + l.Fault
}

func records(n int) string {
	if n == 1 {
		return "one record is"
	}
	return fmt.Sprintf("%d records are", n)
}

func changes(n int64) string {
	if n == 1 {
		return "one change"
	}
	return fmt.Sprintf("%d changes", n)
}

// SayTime gives a time in this machine's zone, without the date where it is today's.
func SayTime(t, now time.Time) string {
	t = t.Local()
	if t.Format(time.DateOnly) == now.Local().Format(time.DateOnly) {
		return t.Format("15:04")
	}
	return t.Format("2 Jan 2006 15:04")
}

// Says tells of a leg in one line.
func (l *Leg) Says(now time.Time) string {
	var says string
	switch l.State {
	case UpToDate:
		says = "equal at " + SayTime(l.Success, now)
	case Carrying:
		says = "carrying over"
		if l.Waiting > 0 {
			says += ", " + changes(l.Waiting) + " waiting"
		}
	case Failing:
		return l.lag(now)
	default:
		says = "starting"
	}
	if n := len(l.Aside); n > 0 {
		says += "; " + records(n) + " set aside"
	}
	return says
}
