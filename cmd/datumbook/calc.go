package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/pflag"

	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

const calcUsage = `usage: datumbook calc NAME key=value ... [--json] [--unit in|mm]
       datumbook calc NAME --help
       datumbook calc --list

Works a worksheet. A bare number is inches unless --unit mm is given (or
DATUMBOOK_UNIT=mm is set) or the value carries a unit: 3/4, 1-3/8, .750,
3/4+.015, 19.05mm, #7, F, 15 thou. An odd number is asked about, unless its
input is named after meant=, as in meant=readings.

  datumbook calc hole thread=3/8-16 stock=7/8 tap=bottoming --json

`

// calcCommand works a worksheet on the command line.
func calcCommand(_ context.Context, c *console, args []string) int {
	flags := pflag.NewFlagSet("calc", pflag.ContinueOnError)
	flags.SetOutput(c.err)
	flags.Usage = func() {}
	asJSON := flags.Bool("json", false, "print the answer as JSON")
	why := flags.Bool("why", false, "print all results with all their digits, and how they were worked out")
	list := flags.Bool("list", false, "list the worksheets")
	help := flags.BoolP("help", "h", false, "tell what a worksheet asks and answers")
	unit := flags.String("unit", os.Getenv("DATUMBOOK_UNIT"), "in or mm: what a bare number means")
	if err := flags.Parse(args); err != nil {
		fmt.Fprint(c.err, calcUsage)
		return exitUsage
	}
	rest := flags.Args()
	switch {
	case *list:
		return listSheets(c, *asJSON)
	case len(rest) == 0:
		fmt.Fprint(c.out, calcUsage, flags.FlagUsages())
		if *help {
			return exitOK
		}
		return exitUsage
	}
	s, ok := registry.Find(rest[0])
	if !ok {
		return refuse(c, *asJSON, worksheet.Refuse("", "There is no worksheet '"+rest[0]+"'. 'datumbook calc --list' names them all."))
	}
	if *help {
		explain(c.out, s)
		return exitOK
	}
	sys, ok := units.ParseSystem(*unit)
	if !ok {
		return refuse(c, *asJSON, worksheet.Refuse("unit", "Unit is in or mm, not '"+*unit+"'."))
	}
	pairs, fault := readPairs(rest[1:])
	if fault != nil {
		return refuse(c, *asJSON, fault)
	}
	a := worksheet.Run(s, sys, pairs)
	switch {
	case a.Fault != nil && *asJSON:
		fmt.Fprintf(c.out, "%s\n", a.JSON())
		return exitFailed
	case a.Fault != nil:
		return refuse(c, *asJSON, a.Fault)
	case *asJSON:
		fmt.Fprintf(c.out, "%s\n", a.JSON())
		return exitOK
	}
	show(c.out, a, *why)
	return exitOK
}

func refuse(c *console, asJSON bool, f *worksheet.InputError) int {
	if asJSON {
		fmt.Fprintf(c.out, "%s\n", f.JSON())
	} else {
		fmt.Fprintf(c.err, "datumbook: %s\n", f.Message)
	}
	return exitFailed
}

// readPairs reads key=value words.
func readPairs(words []string) ([]worksheet.Pair, *worksheet.InputError) {
	var pairs []worksheet.Pair
	for _, w := range words {
		key, text, ok := strings.Cut(w, "=")
		if !ok {
			return nil, worksheet.Refuse("", "'"+w+"' is not an input. Write inputs as key=value, like depth=3/4.")
		}
		pairs = append(pairs, worksheet.Pair{Key: key, Text: text})
	}
	return pairs, nil
}

func listSheets(c *console, asJSON bool) int {
	if asJSON {
		fmt.Fprintf(c.out, "%s\n", registry.Describe())
		return exitOK
	}
	for _, g := range registry.Groups() {
		titled := false
		for _, s := range registry.All() {
			if s.Group != g.Key {
				continue
			}
			if !titled {
				fmt.Fprintln(c.out, g.Title)
				titled = true
			}
			fmt.Fprintf(c.out, "  %-10s %s\n", s.Name, s.Question)
		}
	}
	return exitOK
}

// show prints an answer for people: the headline with its facts and the main results as they are
// read on their dials; asked why, the others and the worked lines too, with all digits.
func show(w io.Writer, a worksheet.Answer, why bool) {
	head, facts := a.Headline()
	fmt.Fprintf(w, "%s: %s\n", a.Sheet.Title, head)
	if len(facts) > 0 {
		fmt.Fprintf(w, "  %s\n", strings.Join(facts, " · "))
	}
	for _, r := range a.Sheet.Results {
		text := a.Text(r.Key)
		if text == "" || !r.Main && !why && r.Key != "ways" { // ways out belong to a refusal
			continue
		}
		also := a.Also(r.Key)
		if r.Main {
			text, also, _ = a.Shown(r.Key)
		}
		if also != "" {
			text += "  (" + also + ")"
		}
		if r.Kind == worksheet.Lines || r.Kind == worksheet.Table {
			fmt.Fprintf(w, "  %s:\n", r.Label)
			for _, line := range a.Rows(r.Key) {
				fmt.Fprintf(w, "    %s\n", line)
			}
			continue
		}
		fmt.Fprintf(w, "  %-38s %s\n", r.Label, text)
	}
	for _, caution := range a.Cautions() {
		fmt.Fprintf(w, "%s: %s\n", levelWord(caution.Level), caution.Text)
	}
	if !why {
		return
	}
	if len(a.Lines()) > 0 {
		fmt.Fprintln(w, "Worked:")
	}
	for _, l := range a.Lines() {
		fmt.Fprintf(w, "  %s: %s = %s = %s  [%s]\n", l.What, l.Formula, l.Numbers, l.Result, l.Source)
	}
}

func levelWord(l worksheet.Level) string {
	switch l {
	case worksheet.Refusal:
		return "NO"
	case worksheet.Warning:
		return "Caution"
	}
	return "Note"
}

// explain prints what a worksheet asks and answers.
func explain(w io.Writer, s *worksheet.Sheet) {
	fmt.Fprintf(w, "%s: %s\n\n", s.Title, s.Question)
	for _, p := range s.About {
		fmt.Fprintf(w, "%s\n\n", p)
	}
	fmt.Fprint(w, "Inputs\n")
	for i := range s.Inputs {
		in := &s.Inputs[i]
		fmt.Fprintf(w, "  %-10s %s (%s%s)\n", in.Key, in.Label, in.Kind, inputNotes(in))
		fmt.Fprintf(w, "             %s\n", in.Help)
	}
	fmt.Fprint(w, "\nResults\n")
	for _, r := range s.Results {
		fmt.Fprintf(w, "  %-10s %s (%s)\n", r.Key, r.Label, r.Kind)
	}
	fmt.Fprint(w, "\nSources\n")
	for _, src := range s.Sources {
		fmt.Fprintf(w, "  %-10s %s\n", src.Key, src.Title)
	}
	fmt.Fprintf(w, "\nExample\n  datumbook calc %s", s.Name)
	for _, p := range s.Example {
		fmt.Fprintf(w, " %s", quotePair(p))
	}
	fmt.Fprintln(w)
}

func inputNotes(in *worksheet.Input) string {
	var b strings.Builder
	if in.Required {
		b.WriteString(", required")
	}
	if in.Default != "" {
		b.WriteString(", default " + in.Default)
	}
	if in.Min != "" && in.Max != "" {
		b.WriteString(", " + in.Min + " to " + in.Max)
	}
	for i, o := range append(append([]worksheet.Option{}, in.Options...), in.Words...) {
		if i == 0 {
			b.WriteString("; ")
		} else {
			b.WriteString("|")
		}
		b.WriteString(o.Key)
	}
	for i, col := range in.Columns {
		if i == 0 {
			b.WriteString("; columns ")
		} else {
			b.WriteString(", ")
		}
		b.WriteString(col.Key)
	}
	return b.String()
}

// quotePair writes a pair so that a shell reads it back.
func quotePair(p worksheet.Pair) string {
	if strings.ContainsAny(p.Text, " ;'\"#()|&<>*?") {
		return p.Key + "='" + strings.ReplaceAll(p.Text, "'", `'\''`) + "'"
	}
	return p.Key + "=" + p.Text
}
