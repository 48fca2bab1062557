package jobbook

// Page is a printed page, made for records of some kinds.
type Page struct {
	Key   string
	Kinds []string
}

// Pages are all printed pages.
var Pages = []Page{
	{"setup", []string{"setup"}},
	{"card", []string{"fixture", "machine"}},
	{"holes", []string{"fixture", "part", "job"}},
	{"inspection", []string{"job", "part"}},
	{"job", []string{"job"}},
	{"label", []string{"fixture", "machine", "job"}},
}

// onPaper names the kinds of record that the pages read.
const onPaper = "job part feature setup step reading note photo kept machine fixture tool gauge material"

// OnPaper reports whether the pages read records of a kind.
func (k *Kind) OnPaper() bool { return k != nil && hasWord(onPaper, k.Key) }

// Pages lists the pages that are made for records of a kind.
func (k *Kind) Pages() []string {
	var out []string
	for _, p := range Pages {
		for _, kind := range p.Kinds {
			if kind == k.Key {
				out = append(out, p.Key)
			}
		}
	}
	return out
}
