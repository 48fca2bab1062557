package replication

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// selector is the part of the protocol's query language that filters changes: fields, nested or
// dotted, with equality, $eq $ne $gt $gte $lt $lte $in $nin $exists, and $and $or $not $nor.
type selector func(doc map[string]any) bool

func (s selector) matches(d *loaded) bool {
	doc := map[string]any{}
	text := slices.Concat([]byte{'{'}, d.Body, []byte{'}'})
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	if err := dec.Decode(&doc); err != nil {
		return false
	}
	doc["_id"], doc["_rev"] = d.ID, d.Rev.String()
	if d.Deleted {
		doc["_deleted"] = true
	}
	return s(doc)
}

func parseSelector(raw json.RawMessage) (selector, error) {
	if len(raw) == 0 {
		return nil, badRequest("`selector` parameter is missing")
	}
	if len(raw) > maxSelector {
		return nil, badRequest(fmt.Sprintf("`selector` may have %d bytes at most", maxSelector))
	}
	if err := check(raw); err != nil {
		return nil, badRequest("`selector`: " + err.Error())
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	var v map[string]any
	if err := dec.Decode(&v); err != nil {
		return nil, badRequest("`selector` must be a JSON object")
	}
	left := maxCondition
	return allOf(v, nil, 0, &left)
}

// allOf combines the conditions of an object; path is where in the document they apply.
// left is how many conditions there may still be: each document is tried on all of them.
func allOf(v map[string]any, path []string, depth int, left *int) (selector, error) {
	if depth > maxNested {
		return nil, badRequest(fmt.Sprintf("`selector` is nested too deep: at most %d levels", maxNested))
	}
	var parts []selector
	for key, val := range v {
		list, _ := val.([]any)
		if *left -= 1 + len(list); *left < 0 {
			return nil, badRequest(fmt.Sprintf("`selector` has more than %d conditions and values", maxCondition))
		}
		part, err := condition(key, val, path, depth, left)
		if err != nil {
			return nil, err
		}
		parts = append(parts, part)
	}
	return func(doc map[string]any) bool {
		return !slices.ContainsFunc(parts, func(p selector) bool { return !p(doc) })
	}, nil
}

func condition(key string, val any, path []string, depth int, left *int) (selector, error) {
	switch key {
	case "$and", "$or", "$nor":
		list, ok := val.([]any)
		if !ok {
			return nil, badRequest("`" + key + "` needs a list")
		}
		var parts []selector
		for _, item := range list {
			sub, ok := item.(map[string]any)
			if !ok {
				return nil, badRequest("`" + key + "` needs a list of objects")
			}
			p, err := allOf(sub, path, depth+1, left)
			if err != nil {
				return nil, err
			}
			parts = append(parts, p)
		}
		return func(doc map[string]any) bool {
			if key == "$and" {
				return !slices.ContainsFunc(parts, func(p selector) bool { return !p(doc) })
			}
			return slices.ContainsFunc(parts, func(p selector) bool { return p(doc) }) == (key == "$or")
		}, nil
	case "$not":
		sub, ok := val.(map[string]any)
		if !ok {
			return nil, badRequest("`$not` needs an object")
		}
		p, err := allOf(sub, path, depth+1, left)
		return func(doc map[string]any) bool { return !p(doc) }, err
	}
	if strings.HasPrefix(key, "$") {
		return operator(key, val, path)
	}
	inner := append(slices.Clone(path), strings.Split(key, ".")...)
	if sub, ok := val.(map[string]any); ok && len(sub) > 0 {
		return allOf(sub, inner, depth+1, left)
	}
	return operator("$eq", val, inner)
}

func operator(key string, want any, path []string) (selector, error) {
	var test func(have any, ok bool) bool
	list, isList := want.([]any)
	switch key {
	case "$eq":
		test = func(have any, ok bool) bool { return ok && equal(have, want) }
	case "$ne":
		test = func(have any, ok bool) bool { return ok && !equal(have, want) }
	case "$gt", "$gte", "$lt", "$lte":
		test = func(have any, ok bool) bool {
			if !ok {
				return false
			}
			c := collate(have, want)
			return c > 0 && key[1] == 'g' || c < 0 && key[1] == 'l' || c == 0 && len(key) == 4
		}
	case "$exists":
		test = func(_ any, ok bool) bool { return ok == (want == true) }
	case "$in", "$nin":
		if !isList {
			return nil, badRequest("`" + key + "` needs a list")
		}
		test = func(have any, ok bool) bool {
			in := slices.ContainsFunc(list, func(w any) bool { return equal(have, w) })
			return ok && in == (key == "$in")
		}
	default:
		return nil, badRequest("the selector operator " + key + " is not known here")
	}
	return func(doc map[string]any) bool {
		var at any = doc
		ok := true
		for _, name := range path {
			m, isMap := at.(map[string]any)
			if !isMap {
				ok = false
				break
			}
			if at, ok = m[name]; !ok {
				break
			}
		}
		return test(at, ok)
	}, nil
}

func equal(a, b any) bool { return collate(a, b) == 0 }

// collate orders values as the protocol does: null, false, true, numbers, texts, lists, objects.
func collate(a, b any) int {
	if ra, rb := rank(a), rank(b); ra != rb {
		return ra - rb
	}
	switch x := a.(type) {
	case json.Number:
		return compareNumbers(x.String(), b.(json.Number).String())
	case string:
		return strings.Compare(x, b.(string))
	case []any:
		return slices.CompareFunc(x, b.([]any), collate)
	case map[string]any:
		y := b.(map[string]any)
		if len(x) != len(y) {
			return len(x) - len(y)
		}
		mine, theirs := slices.Sorted(maps.Keys(x)), slices.Sorted(maps.Keys(y))
		for i, k := range mine {
			if c := cmp.Or(strings.Compare(k, theirs[i]), collate(x[k], y[theirs[i]])); c != 0 {
				return c
			}
		}
	}
	return 0
}

// compareNumbers compares whole numbers digit by digit and others as doubles, which costs no more than
// their length, whatever their exponents.
func compareNumbers(a, b string) int {
	if isWhole(a) && isWhole(b) {
		if neg := a[0] == '-'; neg != (b[0] == '-') {
			if strings.Trim(a, "-0") == "" && strings.Trim(b, "-0") == "" {
				return 0
			}
			if neg {
				return -1
			}
			return 1
		} else if neg {
			a, b = b[1:], a[1:]
		}
		return cmp.Or(cmp.Compare(len(a), len(b)), strings.Compare(a, b)) // JSON has no leading zeros
	}
	x, _ := strconv.ParseFloat(a, 64) // beyond a double: infinite
	y, _ := strconv.ParseFloat(b, 64)
	return cmp.Compare(x, y)
}

func isWhole(s string) bool { return !strings.ContainsAny(s, ".eE") }

func rank(v any) int {
	switch x := v.(type) {
	case nil:
		return 0
	case bool:
		if x {
			return 2
		}
		return 1
	case json.Number:
		return 3
	case string:
		return 4
	case []any:
		return 5
	default:
		return 6
	}
}
