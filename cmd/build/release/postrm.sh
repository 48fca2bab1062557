#!/bin/sh
set -e
if [ "$1" = remove ] || [ "$1" = purge ]; then
  if [ -d "${DPKG_ROOT:-}/run/systemd/system" ] && command -v systemctl > /dev/null; then
    systemctl --system daemon-reload > /dev/null || true
  fi
fi
# The records are the shop's: neither removing nor purging the package takes them, nor their user.
if [ "$1" = purge ]; then
  if command -v deb-systemd-helper > /dev/null; then
    deb-systemd-helper purge datumbook.service > /dev/null || true
    deb-systemd-helper unmask datumbook.service > /dev/null || true
  fi
  if [ -d "${DPKG_ROOT:-}/var/lib/datumbook" ]; then
    echo "The shop's records stay in /var/lib/datumbook; remove that folder by hand if they are not wanted."
  fi
fi
