package replication

import (
	"bytes"
	"encoding/json"
	"math/big"
	"slices"
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
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	var v map[string]any
	if err := dec.Decode(&v); err != nil {
		return nil, badRequest("`selector` must be a JSON object")
	}
	return allOf(v, nil, 0)
}

// allOf combines the conditions of an object; path is where in the document they apply.
func allOf(v map[string]any, path []string, depth int) (selector, error) {
	if depth > 30 {
		return nil, badRequest("`selector` is nested too deep")
	}
	var parts []selector
	for key, val := range v {
		part, err := condition(key, val, path, depth)
		if err != nil {
			return nil, err
		}
		parts = append(parts, part)
	}
	return func(doc map[string]any) bool {
		return !slices.ContainsFunc(parts, func(p selector) bool { return !p(doc) })
	}, nil
}

func condition(key string, val any, path []string, depth int) (selector, error) {
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
			p, err := allOf(sub, path, depth+1)
			if err != nil {
				return nil, err
			}
			parts = append(parts, p)
		}
		return func(doc map[string]any) bool {
			any := slices.ContainsFunc(parts, func(p selector) bool { return p(doc) })
			all := !slices.ContainsFunc(parts, func(p selector) bool { return !p(doc) })
			return key == "$and" && all || key == "$or" && any || key == "$nor" && !any
		}, nil
	case "$not":
		sub, ok := val.(map[string]any)
		if !ok {
			return nil, badRequest("`$not` needs an object")
		}
		p, err := allOf(sub, path, depth+1)
		return func(doc map[string]any) bool { return !p(doc) }, err
	}
	if strings.HasPrefix(key, "$") {
		return operator(key, val, path)
	}
	inner := append(slices.Clone(path), strings.Split(key, ".")...)
	if sub, ok := val.(map[string]any); ok && len(sub) > 0 {
		return allOf(sub, inner, depth+1)
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
		p, okp := new(big.Float).SetString(x.String())
		q, okq := new(big.Float).SetString(b.(json.Number).String())
		if okp && okq {
			return p.Cmp(q)
		}
		return strings.Compare(x.String(), b.(json.Number).String())
	case string:
		return strings.Compare(x, b.(string))
	case []any:
		return slices.CompareFunc(x, b.([]any), collate)
	case map[string]any:
		y := b.(map[string]any)
		if len(x) != len(y) {
			return len(x) - len(y)
		}
		keys := make([]string, 0, len(x))
		for k := range x {
			keys = append(keys, k)
		}
		slices.Sort(keys)
		for _, k := range keys {
			other, ok := y[k]
			if !ok {
				return 1
			}
			if c := collate(x[k], other); c != 0 {
				return c
			}
		}
	}
	return 0
}

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
