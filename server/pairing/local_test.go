package pairing_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/pairing"
	"datumbook/server/servertest"
	"datumbook/store"
)

func TestLocalToken(t *testing.T) {
	service, kept, _ := newService()
	dir := t.TempDir()
	_, err := pairing.ReadLocalToken(dir)
	assert.ErrorIs(t, err, fs.ErrNotExist)

	token, err := service.LocalToken(dir)
	require.NoError(t, err)
	who, err := service.Who(token)
	require.NoError(t, err)
	assert.Equal(t, store.Owner, who.Role)
	again, err := service.LocalToken(dir)
	require.NoError(t, err)
	assert.Equal(t, token, again)
	inFile, err := pairing.ReadLocalToken(dir)
	require.NoError(t, err)
	assert.Equal(t, token, inFile)
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, files, 1)
	info, err := files[0].Info()
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())

	has, err := service.HasOwner()
	require.NoError(t, err)
	assert.False(t, has, "this machine itself does not count")

	t.Run("revoked: a new one", func(t *testing.T) {
		require.NoError(t, service.Revoke(who.Device, "office"))
		fresh, err := service.LocalToken(dir)
		require.NoError(t, err)
		assert.NotEqual(t, token, fresh)
		_, err = service.Who(fresh)
		assert.NoError(t, err)
	})
	t.Run("an older store that does not know it: a new one", func(t *testing.T) {
		old := &pairing.Service{Keeper: &servertest.Memory{}}
		fresh, err := old.LocalToken(dir)
		require.NoError(t, err)
		_, err = old.Who(fresh)
		assert.NoError(t, err)
	})
	t.Run("a file that cannot be written", func(t *testing.T) {
		_, err := service.LocalToken(filepath.Join(dir, "missing"))
		assert.ErrorContains(t, err, "this machine's token")
	})
	code, err := service.Show(store.Owner, "office")
	require.NoError(t, err)
	_, _, err = service.Trade(code.Text, "Desk", addr("192.0.2.1"))
	require.NoError(t, err)
	has, err = service.HasOwner()
	require.NoError(t, err)
	assert.True(t, has)
	assert.NotEmpty(t, kept.Events())
}
