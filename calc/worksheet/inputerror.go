package worksheet

// InputError is an error a user can act on: its field ("" for the whole sheet) and a sentence
// naming the field, what was wrong and what to do.
type InputError struct {
	Field   string
	Message string
}

func (f *InputError) Error() string { return f.Message }

// Refuse makes an error for a field.
func Refuse(field, message string) *InputError { return &InputError{field, message} }

// CheckFields refuses a description with misleading labels or keys; the registry's test runs it
// over every worksheet.
func (s *Sheet) CheckFields() []string {
	var wrong []string
	say := func(what string) { wrong = append(wrong, s.Name+": "+what) }
	if s.Name == "" || s.Title == "" || s.Question == "" || s.Group == "" || len(s.About) == 0 || len(s.Sources) == 0 {
		say("name, title, question, group, about and sources must be filled in")
	}
	seen := map[string]bool{}
	for i := range s.Inputs {
		in := &s.Inputs[i]
		if seen[in.Key] || !plainKey(in.Key) {
			say("input key '" + in.Key + "' is taken or not plain")
		}
		seen[in.Key] = true
		if in.Label == "" || in.Help == "" {
			say("input '" + in.Key + "' needs a label and a help sentence")
		}
		if (in.Kind == Choice || in.Kind == Choices) && len(in.Options) < 2 {
			say("input '" + in.Key + "' needs options")
		}
		if (in.Kind == List || in.Kind == Table) && len(in.Columns) == 0 {
			say("input '" + in.Key + "' needs columns")
		}
	}
	seen = map[string]bool{}
	for i := range s.Results {
		r := &s.Results[i]
		if seen[r.Key] || !plainKey(r.Key) {
			say("result key '" + r.Key + "' is taken or not plain")
		}
		seen[r.Key] = true
		if r.Label == "" {
			say("result '" + r.Key + "' needs a label")
		}
	}
	return wrong
}

func plainKey(k string) bool {
	for i := range len(k) {
		if c := k[i]; (c < 'a' || c > 'z') && (c < '0' || c > '9' || i == 0) {
			return false
		}
	}
	return k != "" && len(k) <= 12
}
