#!/usr/bin/env bash
# Gets the programs that some tests compare with. As root on a Debian-like machine it installs what is missing; elsewhere
# it names it, and those tests are reported as not run. Under CI=true nothing may be missing.
set -euo pipefail

declare -A package=(
    [ngspice]=ngspice [soffice]=libreoffice-calc [pdftotext]=poppler-utils [fc-list]=fontconfig [chromium]=chromium
    [dot]=graphviz [xmllint]=libxml2-utils [Xvfb]=xvfb [xdotool]=xdotool [curl]=curl
)
fonts="fonts-dejavu-core fonts-liberation"

missing() {
    for program in "${!package[@]}"; do
        command -v "$program" >/dev/null || echo "${package[$program]}"
    done
    if command -v fc-list >/dev/null; then
        for font in $fonts; do
            name=${font#fonts-}
            fc-list | grep -qi "${name%-core}" || echo "$font"
        done
    fi
    true
}

wanted=$(missing | sort -u | tr '\n' ' ')
if [ -n "$wanted" ] && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    echo "installing: $wanted"
    apt-get update -qq
    # shellcheck disable=SC2086 -- one word for each package
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $wanted $fonts >/dev/null
    wanted=$(missing | sort -u | tr '\n' ' ')
fi
if [ -n "$wanted" ]; then
    echo "Missing, and what needs it is not run: $wanted"
    echo "On Debian and Ubuntu: apt-get install $wanted"
    [ "${CI:-}" != true ] || exit 1
fi
