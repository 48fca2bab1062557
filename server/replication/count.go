package replication

import (
	"bytes"
	"math"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"
)

// countJSON gives the size of a document's members as CouchDB counts it against max_document_size:
// compact, texts by the bytes they mean and not as they are escaped, fractions by the room of a short
// one (CouchDB 3.5, couch_ejson_size.erl).
func countJSON(members []byte) (n int) {
	dec := jsontext.NewDecoder(bytes.NewReader(append(append([]byte{'{'}, members...), '}')), asSent...)
	for {
		kind := dec.PeekKind()
		raw, err := nextToken(dec, kind)
		if err != nil {
			return n
		}
		switch kind {
		case '{', '[':
			n++
			continue
		case '}', ']':
			n++
		case '"':
			text, _ := jsontext.AppendUnquote(nil, raw)
			n += len(text) + 2
		case '0':
			n += countNumber(string(raw))
		default:
			n += len(raw)
		}
		// A colon behind a name, a comma behind a value that is not the last.
		if dec.StackDepth() > 0 {
			if next := dec.PeekKind(); next != '}' && next != ']' {
				n++
			}
		}
	}
}

// nextToken reads one token; the text of texts and numbers.
func nextToken(dec *jsontext.Decoder, kind jsontext.Kind) ([]byte, error) {
	switch kind {
	case '{', '[', '}', ']':
		_, err := dec.ReadToken()
		return nil, err
	}
	return dec.ReadValue()
}

func countNumber(text string) int {
	if isWhole(text) {
		if text == "-0" {
			return 1
		}
		return len(text)
	}
	x, _ := strconv.ParseFloat(text, 64)
	n := 0
	if x < 0 {
		x, n = math.Abs(x), 1
	}
	switch {
	case x >= 1e100:
		return n + 5
	case x >= 1e10:
		return n + 4
	case x >= 1 || x <= 1e-300:
		return n + 3
	case x <= 1e-100:
		return n + 6
	case x <= 1e-10:
		return n + 5
	case x <= 0.01:
		return n + 4
	}
	return n + 3
}
