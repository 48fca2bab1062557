package wasmbuild

import (
	"encoding/binary"
	"fmt"
	"slices"
)

// startType is the type of a function without parameters or results.
var startType = []byte{typeFunc, 0, 0}

// addStart adds a function behind the module's others, which keep their numbers, and has it run
// when the module starts. Go's own program begins only when it is called.
func addStart(sections []section, body []byte) ([]section, error) {
	behind := 0 // the start section stands before the sections with higher numbers
	var types, imports, functions, codes *section
	for i := range sections {
		s := &sections[i]
		switch s.kind {
		case typeSection:
			types = s
		case importSection:
			imports = s
		case functionSection:
			functions = s
		case codeSection:
			codes = s
		case startSection:
			return nil, fmt.Errorf("%w: it has a start function", errModule)
		}
		if s.kind != customSection && s.kind < startSection {
			behind = i + 1
		}
	}
	if types == nil || functions == nil || codes == nil {
		return nil, fmt.Errorf("%w: it has no functions", errModule)
	}
	imported := uint64(0)
	if imports != nil {
		var ok bool
		if imported, ok = importedFunctions(imports.body); !ok {
			return nil, fmt.Errorf("%w: it imports more than functions", errModule)
		}
	}
	kind, own := count(types.body), count(functions.body)
	types.body = another(types.body, startType)
	functions.body = another(functions.body, binary.AppendUvarint(nil, kind))
	codes.body = another(codes.body, append(binary.AppendUvarint(nil, uint64(len(body))), body...))
	run := section{startSection, binary.AppendUvarint(nil, imported+own)}
	return slices.Insert(sections, behind, run), nil
}

// count reads how many things a section holds.
func count(body []byte) uint64 {
	n, _ := binary.Uvarint(body)
	return n
}

// another adds a thing to a section that begins with their number.
func another(body, thing []byte) []byte {
	n, size := binary.Uvarint(body)
	out := binary.AppendUvarint(nil, n+1)
	return append(append(out, body[max(size, 0):]...), thing...)
}

// importedFunctions counts them: each has two names, a mark and its type (5.5.5).
func importedFunctions(body []byte) (uint64, bool) {
	ok := true
	uvarint := func() uint64 {
		x, n := binary.Uvarint(body)
		ok = ok && n > 0
		body = body[max(n, 0):]
		return x
	}
	n := uvarint()
	for i := uint64(0); ok && i < n; i++ {
		for range 2 {
			size := uvarint()
			if size > uint64(len(body)) {
				return 0, false
			}
			body = body[size:]
		}
		ok = ok && uvarint() == 0 // a function
		uvarint()
	}
	return n, ok && len(body) == 0
}
