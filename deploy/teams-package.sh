#!/bin/sh
# Puts the Teams app package together: teams-package.sh APP-ID [HOST]
set -eu
app_id="${1:?the id of the bot’s registration}"
host="${2:-soundings.example}"
if ! printf %s "$app_id" | grep -Eqx '[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}'; then
  echo "$app_id is no id of a registration: write it like 11111111-2222-4333-8444-555555555555" >&2
  exit 2
fi
if ! printf %s "$host" | grep -Eqx '[0-9a-zA-Z.-]+'; then
  echo "$host is no host name: write it without https:// and without a path" >&2
  exit 2
fi
command -v zip >/dev/null || { echo 'zip is missing; on Debian: apt-get install zip' >&2; exit 2; }
here="$(cd "$(dirname "$0")" && pwd)"
folder="$(mktemp -d)"
trap 'rm -rf "$folder"' EXIT
sed -e "s/00000000-0000-0000-0000-000000000000/$app_id/g" -e "s/soundings\.example/$host/g" \
  "$here/teams-manifest.json" >"$folder/manifest.json"
cp "$here/teams-color.png" "$here/teams-outline.png" "$folder/"
rm -f soundings-teams.zip
out="$(pwd)/soundings-teams.zip"
(cd "$folder" && zip -q "$out" manifest.json teams-color.png teams-outline.png)
echo "$out"
