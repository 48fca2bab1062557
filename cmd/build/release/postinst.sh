#!/bin/sh
set -e
if [ "$1" != configure ]; then exit 0; fi

root=${DPKG_ROOT:-}
user() { sed -n 's/^datumbook:[^:]*:\([0-9]*\):\([0-9]*\):.*/\1:\2/p' "$root/etc/passwd"; }

if [ -z "$(user)" ]; then
  useradd ${root:+--prefix "$root"} --system --user-group --home-dir /var/lib/datumbook --no-create-home \
    --shell /usr/sbin/nologin datumbook
fi
if [ ! -d "$root/var/lib/datumbook" ]; then
  mkdir -p "$root/var/lib/datumbook"
  chown "$(user)" "$root/var/lib/datumbook"
  chmod 700 "$root/var/lib/datumbook"
fi

# Enabled at the first installation; later what the administrator chose is kept.
if command -v deb-systemd-helper > /dev/null; then
  deb-systemd-helper unmask datumbook.service > /dev/null || true
  if deb-systemd-helper --quiet was-enabled datumbook.service; then
    deb-systemd-helper enable datumbook.service > /dev/null || true
  else
    deb-systemd-helper update-state datumbook.service > /dev/null || true
  fi
fi

if [ -d "$root/run/systemd/system" ] && command -v systemctl > /dev/null; then
  systemctl --system daemon-reload > /dev/null || true
  if [ -n "$2" ]; then do=restart; else do=start; fi
  if command -v deb-systemd-invoke > /dev/null; then
    deb-systemd-invoke $do datumbook.service > /dev/null || true
  else
    systemctl $do datumbook.service || true
  fi
else
  echo "systemd does not run here, so the office was not started."
fi
