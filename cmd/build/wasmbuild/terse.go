package wasmbuild

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
)

// The phone reads what a worksheet says about itself and its fields - help, question, paragraphs,
// names of boxes, inputs that work - from the list of worksheets that the build files beside
// calc.wasm, never from calc.wasm, whose answers do not use it. So calc.wasm is compiled from the
// same sources with these left out.

// described are the fields of worksheet.Sheet, field.Field and worksheet.Result that stand in the
// list only, and what replaces them.
var described = map[string]string{
	"Help": `""`, "Question": `""`, "About": "nil", "Section": `""`, "Drawing": `""`, "Box": `""`, "Example": "nil",
}

// stays tells that a field of such a name is another one: what is typed in the right form is an
// example too, and is quoted where it was not.
func stays(key string, value ast.Expr) bool {
	_, list := value.(*ast.CompositeLit)
	_, word := value.(*ast.BasicLit)
	return key == "Example" && !list || key == "Box" && !word
}

// describer is the package that files with descriptions import.
const describer = "datumbook/calc/worksheet"

// terse gives the source of a file with the describing sentences left out; changed is false where
// it has none.
func terse(name string, source []byte) (out []byte, changed bool, err error) {
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, false, err
	}
	describes := false
	for _, in := range file.Imports {
		path, _ := strconv.Unquote(in.Path.Value)
		describes = describes || path == describer
	}
	if !describes {
		return source, false, nil
	}
	at := 0
	ast.Inspect(file, func(node ast.Node) bool {
		pair, ok := node.(*ast.KeyValueExpr)
		if !ok {
			return true
		}
		key, ok := pair.Key.(*ast.Ident)
		if !ok || described[key.Name] == "" || stays(key.Name, pair.Value) {
			return true
		}
		from, to := files.Position(pair.Value.Pos()).Offset, files.Position(pair.Value.End()).Offset
		out = append(out, source[at:from]...)
		// The lines stay, so that the compiler's messages still point to the place.
		out = append(out, bytes.Repeat([]byte("\n"), bytes.Count(source[from:to], []byte("\n")))...)
		out = append(out, described[key.Name]...)
		at = to
		changed = true
		return false
	})
	return append(out, source[at:]...), changed, nil
}

// overlay writes terse copies of sources into dir and gives the file that tells go build to take
// them instead.
func overlay(dir string, sources []string) (string, error) {
	replace := map[string]string{}
	for i, name := range sources {
		body, err := os.ReadFile(name)
		if err != nil {
			return "", err
		}
		body, changed, err := terse(name, body)
		if err != nil {
			return "", err
		}
		if !changed {
			continue
		}
		to := filepath.Join(dir, strconv.Itoa(i)+"-"+filepath.Base(name))
		if err := os.WriteFile(to, body, 0o600); err != nil {
			return "", err
		}
		replace[name] = to
	}
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	file := filepath.Join(dir, "overlay.json")
	return file, os.WriteFile(file, text, 0o600)
}
