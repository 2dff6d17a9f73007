#!/bin/sh
# Puts the Teams app package together: teams-package.sh APP-ID [HOST]
set -eu
app_id="${1:?the id of the bot’s registration}"
host="${2:-soundings.example}"
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
