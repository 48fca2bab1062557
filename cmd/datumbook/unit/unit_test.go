package unit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/cmd/datumbook/unit"
)

func TestUnitOfAShop(t *testing.T) {
	text, err := unit.Unit{Program: "/usr/bin/datumbook", Data: unit.Data, Args: []string{"--lan"}}.Text()
	require.NoError(t, err)
	assert.Contains(t, text, "\nUser=datumbook\nStateDirectory=datumbook\nStateDirectoryMode=0700\n"+
		"ExecStart=/usr/bin/datumbook serve --data /var/lib/datumbook --lan\nRestart=on-failure\n")
	assert.NotContains(t, text, "ReadWritePaths")
	assert.NotContains(t, text, "Capabilities")

	// Another folder is the one that may be written; a port below 1024 needs a right of its own.
	text, err = unit.Unit{Program: "/opt/d b/datumbook", Data: `/srv/50% "shop" $1\`, Args: []string{"--lan", "--addr", ":443"}}.Text()
	require.NoError(t, err)
	assert.Contains(t, text, `ReadWritePaths="/srv/50%% \"shop\" $1\\"`+"\n"+
		`ExecStart="/opt/d b/datumbook" serve --data "/srv/50%% \"shop\" $$1\\" --lan --addr :443`+"\n")
	assert.Contains(t, text, "\nAmbientCapabilities=CAP_NET_BIND_SERVICE\n")
	assert.NotContains(t, text, "StateDirectory")

	_, err = unit.Unit{Program: "/p", Data: "/a\nUser=root"}.Text()
	assert.ErrorContains(t, err, "line break")
}

func TestParseReadsWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[ -~äµ]{0,12}`)
		want := unit.Unit{Program: word.Draw(t, "program"), Data: word.Draw(t, "data"), Args: rapid.SliceOf(word).Draw(t, "args")}
		text, err := want.Text()
		require.NoError(t, err)
		got, err := unit.Parse(text)
		require.NoError(t, err)
		assert.Equal(t, want.Program, got.Program)
		assert.Equal(t, want.Data, got.Data)
		assert.ElementsMatch(t, want.Args, got.Args)
	})
	_, err := unit.Parse("[Service]\nExecStart=/usr/bin/other\n")
	assert.ErrorContains(t, err, "does not start Datumbook")
}

func FuzzParse(f *testing.F) {
	f.Add("ExecStart=/usr/bin/datumbook serve --data /var/lib/datumbook --lan\n")
	f.Add(`ExecStart="a`)
	f.Add("ExecStart=\"\\")
	f.Fuzz(func(t *testing.T, text string) {
		u, err := unit.Parse(text)
		if err != nil {
			return
		}
		again, err := u.Text()
		if err != nil {
			return
		}
		same, err := unit.Parse(again)
		require.NoError(t, err)
		assert.Equal(t, u.Data, same.Data)
	})
}
