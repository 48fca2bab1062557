package jobbook

import (
	"strconv"

	"datumbook/calc/field"
)

// appendNode writes JSON in the order the node holds.
func appendNode(b []byte, n *node) []byte {
	switch n.kind {
	case null:
		return append(b, "null"...)
	case truth, number, raw:
		return append(b, n.text...)
	case text:
		return field.AppendQuoted(b, n.text)
	}
	open, end := byte('['), byte(']')
	if n.kind == object {
		open, end = '{', '}'
	}
	b = append(b, open)
	for i := range n.list {
		if i > 0 {
			b = append(b, ',')
		}
		if n.kind == object {
			b = append(field.AppendQuoted(b, n.keys[i]), ':')
		}
		b = appendNode(b, n.list[i])
	}
	return append(b, end)
}

// json gives the text of a node.
func (n *node) json() string { return string(appendNode(nil, n)) }

// sorted puts the members of every object in the order of their names: the canonical form. Numbers
// stay as they were sent. A sorted node is returned itself.
func sorted(n *node) *node {
	if n.odd || inOrder(n) {
		return n
	}
	out := &node{kind: n.kind, list: make([]*node, len(n.list))}
	var order []int
	if n.kind == object {
		order = arrange(len(n.keys), func(a, b int) int { return compare(n.keys[a], n.keys[b]) })
		out.keys = make([]string, len(n.keys))
	}
	for i := range n.list {
		from := i
		if order != nil {
			from = order[i]
			out.keys[i] = n.keys[from]
		}
		out.list[i] = sorted(n.list[from])
	}
	return out
}

func inOrder(n *node) bool {
	for i := range n.list {
		if n.kind == object && i > 0 && n.keys[i-1] > n.keys[i] || !inOrder(n.list[i]) {
			return false
		}
	}
	return true
}

// arrange returns the order that sorts n items, stably. One merge sort over indices serves all
// types: a copy for each would enlarge calc.wasm.
func arrange(n int, cmp func(a, b int) int) []int {
	list, spare := make([]int, n), make([]int, n)
	for i := range list {
		list[i] = i
	}
	for width := 1; width < n; width *= 2 {
		for from := 0; from < n; from += 2 * width {
			mid, end := min(from+width, n), min(from+2*width, n)
			for a, b, to := from, mid, from; to < end; to++ {
				if b >= end || a < mid && cmp(list[a], list[b]) <= 0 {
					spare[to] = list[a]
					a++
				} else {
					spare[to] = list[b]
					b++
				}
			}
		}
		list, spare = spare, list
	}
	return list
}

// arranged sorts a list by cmp.
func arranged[T any](list []*T, cmp func(a, b *T) int) []*T {
	if len(list) < 2 {
		return list
	}
	out := make([]*T, len(list))
	for i, from := range arrange(len(list), func(a, b int) int { return cmp(list[a], list[b]) }) {
		out[i] = list[from]
	}
	return out
}

// normal writes a sorted node with its numbers in their shortest form: equal for values that differ
// only in how a number was written. JavaScript turns 1.50 into 1.5, which is not a new value.
func normal(n *node) string {
	return string(appendNormal(nil, n))
}

func appendNormal(b []byte, n *node) []byte {
	switch n.kind {
	case number:
		if x, err := strconv.ParseFloat(n.text, 64); err == nil {
			return strconv.AppendFloat(b, x+0, 'g', -1, 64)
		}
		return append(b, n.text...)
	case array, object:
		b = append(b, n.kind)
		for i := range n.list {
			if n.kind == object {
				b = append(field.AppendQuoted(b, n.keys[i]), ':')
			}
			b = append(appendNormal(b, n.list[i]), ',')
		}
		return append(b, ']')
	}
	return appendNode(b, n)
}

func compare(a, b string) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// longer orders texts by length and then by bytes.
func longer(a, b string) int {
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	return compare(a, b)
}
