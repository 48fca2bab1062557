package registry_test

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
)

// What is said first: short, by every worksheet, whatever is typed, and never good words where it
// cannot be done.

var (
	cheerful = regexp.MustCompile(`^(Holds|In line|Head square|Plate square|Spindle true|Comes out:[ .0-9]+|Touching|Cleans up|` +
		`Reaches|Fits|Nothing hits|Stays|Pulls|Good|Both go in|Good enough)\b`)
	sentence = regexp.MustCompile(`\.$|  |\bx =|negative|%!`)
)

func TestHeadlines(t *testing.T) {
	for _, s := range registry.All() {
		t.Run(s.Name, func(t *testing.T) {
			seen := map[worksheet.Mark]map[string]bool{}
			answers(t, s, func(t require.TestingT, a worksheet.Answer) {
				text, facts := a.Headline()
				mark := a.Mark()
				n := utf8.RuneCountInString(text)
				require.True(t, n > 0 && n <= worksheet.HeadMost, "%d: %s", n, text)
				require.NotRegexp(t, sentence, text)
				require.True(t, braced(a) || !strings.Contains(text, "{"), text)
				all := strings.Join(facts, " · ")
				require.LessOrEqual(t, len(facts), 3, all)
				require.LessOrEqual(t, utf8.RuneCountInString(all), worksheet.FactsMost, all)
				if mark == worksheet.Stop {
					require.NotRegexp(t, cheerful, text)
					require.NotEqual(t, "Not as asked", text, "%v", a.Cautions())
				} else {
					require.NotEqual(t, s.Title, text, "no headline: %s", a.Text("verdict"))
				}
				if seen[mark] == nil {
					seen[mark] = map[string]bool{}
				}
				seen[mark][text] = true
			})
			for mark, texts := range seen {
				n := 0
				for text := range texts {
					if n++; n <= 6 {
						t.Logf("%s: %s", mark, text)
					}
				}
			}
		})
	}
}
