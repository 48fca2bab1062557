package jobbook

import (
	"strconv"
	"strings"
)

// idle are words of a question that tell nothing of what it is about.
const idle = ` a about actually after again all also am an and any anybody anyone anything are aren around as 
 ask at away be because been before being but by came can cant come comes could couldn did didn 
 do does doesn doing don dont ever for from get gets give given go goes going gone got had has 
 hasn have haven having he her here hers him his how i if in into is isn it its itself just 
 know let like look maybe me might mine much must my need needs of on one ones only or our ours 
 out own please put really remember say says see seem shall she should shouldn show so some 
 somebody someone something still stuff supposed tell than that the their them then there 
 theres these they thing things think this those to too up us very want wanted was wasn way we 
 well went were weren what whatever whats when where wheres whether which who whom whose why 
 will with won would wouldn yes yet you your yours `

func isIdle(w string) bool {
	w, _, _ = strings.Cut(w, "'")
	return strings.Contains(idle, " "+w+" ")
}

// Words that ask for what was, and for what is to be worked out.
const (
	asksWas = " why who whose whom when where did was were had have has been we our last still again yet already ever "
	asksHow = " can could will would should how what do does need "
)

// leaning says what a question wants by how it is asked: of what was (a record, more than 0), or of
// what is to be worked out (a worksheet, less than 0).
func leaning(list []string) (leans int32) {
	for i, w := range list {
		switch {
		case strings.Contains(asksWas, " "+w+" "), i == 0 && w == "which":
			return 1
		case strings.Contains(asksHow, " "+w+" "):
			leans = -1
		}
	}
	return leans
}

// synonyms are groups of words that the trade uses for one thing, and forms of a verb that no
// ending tells. Common practice, no published source.
const synonyms = `
vise vice;gauge gage;grey gray;centre center;aluminium aluminum;calliper caliper;mould mold;
indicator clock dti;micrometer mike;readout dro;fixture jig;picture photo snap image;note remark;
slot keyway groove channel;plug fill block;spotface counterbore cbore;countersink csk;chamfer bevel;
strap clamp;bolt stud screw;pin dowel;shim packing pack leaf;washer spacer;stop fence;block riser;endmill end-mill;
tap thread;drill bit;hand-wheel handwheel crank;backlash slack play lost;spindle quill;
width wide broad;length long;height high tall;depth deep;thickness thick;diameter dia;
weight weigh heavy mass;speed rpm spin revs;torque tighten tight tightness;temperature hot warm cold;
check inspect measure calibrate verify;broke broken break snap;dull blunt worn;chip chipped;
chatter squeal sing vibrate vibration;wrong trouble problem mistake fault;error fault;
sag droop hang hung;bend bent bow warp;lean tilt nod;crack split;repair mend weld fix patch;leak weep drip;
last final;rough raw;skin scale crust;bottom under underneath underside below;top upper;back rear behind;
keep kept store stored;pickup picked pick locate;tram sweep swept;coolant suds;customer client;
many number quantity count;deadline due;face skim surface;level flat;lift hoist crane sling;remove removed;
ground grind;hold held;stick stuck;make made;lose lost;take took taken;wear wore worn;buy bought;cut machine;
leave left;wind wound;throw threw;tear tore torn;write wrote written;shake shook;swing swung;iron castiron`

// groups are the synonyms by the stem of each.
type groups map[string][]string

func readGroups() groups {
	out := groups{}
	for group := range strings.SplitSeq(synonyms, ";") {
		all := strings.Fields(group)
		for _, w := range all {
			out[stem(w)] = append(out[stem(w)], all...)
		}
	}
	return out
}

// stem takes the endings off an English word, so that what is counted, being done or done is one:
// slots, slotting and slotted are slot. It is not always a word: bore and boring are bor.
func stem(w string) string {
	w = strings.TrimSuffix(strings.TrimSuffix(w, "'s"), "’s")
	for i := range len(w) {
		if w[i] < 'a' || w[i] > 'z' {
			return w
		}
	}
	n := len(w)
	switch {
	case n > 4 && strings.HasSuffix(w, "ies"):
		w = w[:n-3] + "y"
	case n > 4 && strings.HasSuffix(w, "es") && (w[n-3] == 'x' || strings.Contains(" ss ch sh ", " "+w[n-4:n-2]+" ")):
		w = w[:n-2]
	case n > 3 && w[n-1] == 's' && w[n-2] != 's' && w[n-2] != 'u' && w[n-2] != 'i':
		w = w[:n-1]
	}
	if n = len(w); n > 5 && strings.HasSuffix(w, "ing") && vowel(w[:n-3]) {
		w = single(w[:n-3])
	} else if n > 4 && strings.HasSuffix(w, "ed") && w[n-3] != 'e' && vowel(w[:n-2]) {
		w = single(w[:n-2])
	}
	if n = len(w); n > 3 && w[n-1] == 'e' {
		w = w[:n-1]
	}
	return w
}

func vowel(w string) bool { return strings.ContainsAny(w, "aeiouy") }

// single undoes the doubling before an ending: tapp is tap, but drill stays.
func single(w string) string {
	if n := len(w); n > 3 && w[n-1] == w[n-2] && strings.IndexByte("bdgmnprt", w[n-1]) >= 0 {
		return w[:n-1]
	}
	return w
}

// lettersOf marks which letters a word has: words that differ in one place differ in two at most.
func lettersOf(w string) (set uint32) {
	for i := range len(w) {
		set |= 1 << (w[i] & 31)
	}
	return set
}

// farOff is more letters than are counted.
const farOff = 99

// misspelt counts the letters wrong, missing, too many or swapped between two words, as far as most
// (optimal string alignment); farOff means more.
func misspelt(a, b string, most int) int {
	if len(a)-len(b) > most || len(b)-len(a) > most || len(b) >= 40 {
		return farOff
	}
	var rows [3][41]int8
	last, here, next := &rows[0], &rows[1], &rows[2]
	for j := range len(b) + 1 {
		here[j] = int8(j)
	}
	for i := range len(a) {
		next[0] = int8(i + 1)
		least := next[0]
		for j := range len(b) {
			cost := int8(1)
			if a[i] == b[j] {
				cost = 0
			}
			d := min(here[j]+cost, here[j+1]+1, next[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				d = min(d, last[j-1]+1)
			}
			next[j+1] = d
			least = min(least, d)
		}
		if int(least) > most {
			return farOff
		}
		last, here, next = here, next, last
	}
	return int(here[len(b)])
}

// Words of a fraction of an inch; the place in the list tells the number.
const (
	numerals = " one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
	portions = " half=2 quarter=4 eighth=8 sixteenth=16 thirtysecond=32 "
)

// fractions turns those that are said in words into those that are written: a half inch, three
// eighths, five-sixteenths of an inch.
func fractions(list []string, unit string) []string {
	var apart, out []string
	for _, w := range list {
		first, rest, two := strings.Cut(w, "-")
		if two && (numeral(first) != "" || portion(first) != "") {
			apart = append(apart, first, rest)
		} else {
			apart = append(apart, w)
		}
	}
	for i := 0; i < len(apart); {
		n, at := numeral(apart[i]), i
		if n != "" {
			at++
		}
		under := ""
		if at < len(apart) {
			under = portion(apart[at])
		}
		end := at + 1
		for end < len(apart) && (apart[end] == "of" || apart[end] == "an" || apart[end] == "a") {
			end++
		}
		inch := end < len(apart) && (apart[end] == "inch" || apart[end] == "inches")
		if under == "" || n == "" && !inch {
			out = append(out, apart[i])
			i++
			continue
		}
		if n == "" {
			n = "1"
		}
		if out = append(out, n+"/"+under); unit == "mm" {
			out = append(out, "in")
		}
		if i = at + 1; inch {
			i = end + 1
		}
	}
	return out
}

// numeral reads one to fifteen.
func numeral(w string) string {
	at := strings.Index(numerals, " "+w+" ")
	if at < 0 || w == "" {
		return ""
	}
	return strconv.Itoa(1 + strings.Count(numerals[1:at+1], " "))
}

// portion reads half, quarter, eighth and so on.
func portion(w string) string {
	_, after, ok := strings.Cut(portions, " "+strings.TrimSuffix(w, "s")+"=")
	if !ok {
		return ""
	}
	under, _, _ := strings.Cut(after, " ")
	return under
}
