package main

import (
	"bytes"
	"errors"
	"os"

	"datumbook/calc/field"
	"datumbook/calc/worksheet"
	"datumbook/cmd/build/contract"
)

// types writes the contract in TypeScript, or checks that the file holds it already.
func (b builder) types(check bool) error {
	want, err := typeScript()
	if err != nil {
		return err
	}
	file := b.pwa("src", "engine", "contract.gen.ts")
	have, err := os.ReadFile(file)
	if err == nil && bytes.Equal(have, want) {
		b.say("pwa/src/engine/contract.gen.ts is current")
		return nil
	}
	if check {
		return errors.New("pwa/src/engine/contract.gen.ts is not what Go sends: run go run ./cmd/build types and commit it")
	}
	b.say("wrote pwa/src/engine/contract.gen.ts")
	return os.WriteFile(file, want, 0o644)
}

func typeScript() ([]byte, error) {
	var kinds []string
	for _, k := range field.Kinds() {
		kinds = append(kinds, string(k))
	}
	out, err := contract.TypeScript(map[string][]string{
		"UnitSystem": {"in", "mm"},
		"Kind":       kinds,
		"Level":      {string(worksheet.Refusal), string(worksheet.Warning), string(worksheet.Remark)},
		"Mark":       {string(worksheet.Good), string(worksheet.Careful), string(worksheet.Stop), string(worksheet.Open)},
	})
	if err != nil {
		return nil, err
	}
	return append(out, values...), nil
}

// values are the types that no struct of Go has: what JSON may hold as a value, and either of two
// replies.
const values = `
export type Cell = string | number | boolean | null;
export type Value = Cell | Cell[] | Cell[][];

export type Reply = Answer | Refused;
`
