package main

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"os"
	"path/filepath"

	"datumbook/store"
)

// versionFile keeps which version of the program served the records last.
const versionFile = "version.json"

type ranVersion struct {
	Version string `json:"version"`
}

// keepBeforeVersion makes a copy of the records where another version of the program served them
// last, or one that did not say which it was. A copy that cannot be made does not stop the office,
// since this version reads the records as they are: it is tried again at the next start.
func keepBeforeVersion(ctx context.Context, st *store.Store, data string, plan store.UpgradePlan, fresh bool, log *slog.Logger) {
	name := filepath.Join(data, versionFile)
	var last ranVersion
	if text, err := os.ReadFile(name); err == nil {
		_ = json.Unmarshal(text, &last) // what is not ours is written anew
	}
	if last.Version == versionText() {
		return
	}
	if !fresh && !st.Upgraded() { // else there is nothing to keep, or it was kept before the change
		file, err := st.CopyBefore(ctx, plan)
		if err != nil {
			log.Warn("no copy of the records was made before this version's first start", "err", err)
			return
		}
		log.Info("a copy of the records was kept before this version's first start", "file", file)
	}
	text, err := json.Marshal(ranVersion{versionText()})
	if err == nil {
		err = replaceFile(name, func(to io.Writer) error {
			_, err := to.Write(append(text, '\n'))
			return err
		})
	}
	if err != nil {
		log.Warn("the version could not be noted", "err", err)
	}
}
