package replication

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A body of null asks for nothing in particular, as an empty object does.
func TestAllDocsTakesNull(t *testing.T) {
	o := mustOffice(t, "jobs")
	want := o.ask(t, "POST", "/jobs/_all_docs?include_docs=true", `{}`)
	assert.Equal(t, 200, want.status)
	for _, body := range []string{"null", " null\n", ""} {
		got := o.ask(t, "POST", "/jobs/_all_docs?include_docs=true", body)
		assert.Equal(t, 200, got.status, "%q", body)
		assert.Equal(t, want.body, got.body)
	}
	assert.Equal(t, 400, o.ask(t, "POST", "/jobs/_all_docs", `[]`).status)
}
