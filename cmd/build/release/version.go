package release

import (
	"context"
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"time"
)

// Version names a commit.
type Version struct {
	Text    string // the tag, such as 1.2, or time and beginning of the commit: 2026.11.30.2115+b7f65b2c
	Date    time.Time
	Changed bool // there are changes that are not committed
}

// VersionOf gives the version of what is checked out. Later commits have later versions, also by
// Debian's way of comparing them.
func VersionOf(ctx context.Context, root string) (Version, error) {
	var v Version
	said, err := git(ctx, root, "show", "--no-patch", "--format=%ct %H", "HEAD")
	if err != nil {
		return v, fmt.Errorf("the version comes from the commit, which git does not tell: %w", err)
	}
	seconds, commit, _ := strings.Cut(said, " ")
	at, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil || len(commit) < 8 {
		return v, fmt.Errorf("git tells a commit that cannot be read: %q", said)
	}
	v.Date = time.Unix(at, 0).UTC()
	v.Text = v.Date.Format("2006.01.02.1504") + "+" + commit[:8]
	if tag, err := git(ctx, root, "describe", "--tags", "--exact-match", "--match", "v[0-9]*", "HEAD"); err == nil {
		v.Text = strings.TrimPrefix(tag, "v")
	}
	status, err := git(ctx, root, "status", "--porcelain")
	if err != nil {
		return v, err
	}
	if v.Changed = status != ""; v.Changed {
		v.Text += ".changed"
	}
	return v, nil
}

func git(ctx context.Context, root string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "git", args...)
	cmd.Dir = root
	out, err := cmd.Output()
	return strings.TrimSpace(string(out)), err
}
