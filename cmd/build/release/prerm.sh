#!/bin/sh
set -e
# An upgrade lets the office serve until the new program is in place.
if [ "$1" = remove ] && [ -d "${DPKG_ROOT:-}/run/systemd/system" ] && command -v systemctl > /dev/null; then
  if command -v deb-systemd-invoke > /dev/null; then
    deb-systemd-invoke stop datumbook.service > /dev/null || true
  else
    systemctl stop datumbook.service || true
  fi
fi
