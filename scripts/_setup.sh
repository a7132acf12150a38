# shellcheck shell=bash
# Makes this checkout ready to run. Read in by scripts/start and scripts/test, which then call `make_ready`.
# A second call finds the stamp it left in .venv and returns at once.

root=$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
venv=$root/.venv
python=$venv/bin/python
log=$root/.setup.log

# Packages of another Python must not be seen by ours.
unset PYTHONHOME PYTHONPATH

# What Qt's libraries need to load at all, also without a screen (ldd on the wheel's plugins).
qt_packages=(libglib2.0-0 libegl1 libgl1 libxkbcommon0 libdbus-1-3 libfontconfig1 libx11-6
    libgssapi-krb5-2 fonts-dejavu-core)
# What its X11 and Wayland plugins need beside that.
window_packages=(libxcb-cursor0 libxcb-icccm4 libxcb-image0 libxcb-keysyms1 libxcb-randr0 libxcb-render-util0
    libxcb-render0 libxcb-shape0 libxcb-shm0 libxcb-sync1 libxcb-xfixes0 libxcb-xkb1 libx11-xcb1
    libxkbcommon-x11-0 libwayland-client0 libwayland-cursor0 libwayland-egl1)
# A real window on a screen that nobody sees.
test_packages=(xvfb xauth)
# The typeface that the pages are drawn for; without it the system's own is used.
nice_packages=(fonts-lato)

say() { printf '%s\n' "$*"; }

stop() {
    printf '%s\n' "$@" >&2
    exit 1
}

# make_ready start|test: system libraries, .venv, and the program in it.
make_ready() {
    local purpose=$1
    cd -- "$root" || stop "The folder $root cannot be entered."
    is_ready "$purpose" && return
    # Two of these scripts started together must not both build .venv.
    exec 9<pyproject.toml
    flock -n 9 || { say "Another setup of this folder is running; waiting for it..." && flock 9; }
    is_ready "$purpose" || set_up "$purpose"
    exec 9<&-
}

set_up() {
    local purpose=$1 base
    say "Setting up: this takes a minute or two the first time."
    : 2>/dev/null >"$log" || stop "This folder cannot be written: $root" \
        "Copy it to a folder of your own and start it there."
    base=$(find_python)
    ready_packages "$purpose" "$base"
    base=${base:-$(find_python)}
    [[ -n $base ]] || stop "Python 3.11 or newer (with its venv module) is needed and was not found." \
        "Debian 12 and newer have it: apt-get install python3-venv"
    ready_venv "$base"
    install_program "$purpose"
    stamp_text >"$venv/$purpose.stamp"
    say "Ready."
}

# A hash of all that decides what is in .venv: what the program needs, which Python runs it, where it lives.
stamp_text() {
    { cat pyproject.toml scripts/_setup.sh; printf '%s\n' "$root"; "$python" -ISc 'import sys; print(sys.version)'; } \
        2>/dev/null | sha256sum
}

# Holds when the stamp fits and nobody has emptied .venv since. What serves the tests serves the program too.
is_ready() {
    local purpose=$1 mark stamp
    mark=$(stamp_text)
    for stamp in "$venv/$purpose.stamp" "$venv/test.stamp"; do
        if [[ -r $stamp && $(<"$stamp") == "$mark" ]]; then
            "$python" -Ic 'import sys
from importlib.util import find_spec
needed = ["candlebench", "PySide6", "pyqtgraph", "serial", "numpy", "tomli_w"]
needed += ["pytest", "pytestqt", "hypothesis", "mypy", "ruff"] * (sys.argv[1] == "test")
sys.exit(not all(map(find_spec, needed)))' "$purpose" 2>/dev/null && return 0
        fi
    done
    return 1
}

# Prints the first Python that is new enough and can make a venv with pip in it; nothing when there is none.
find_python() {
    local name
    for name in python3 python3.13 python3.12 python3.11 python3.14; do
        # Inside an active venv this is the Python behind it, which stays when that venv is removed.
        "$name" -Ic 'import sys, venv, ensurepip
print(sys._base_executable) if sys.version_info >= (3, 11) else sys.exit(1)' 2>/dev/null && return
    done
}

# ready_packages PURPOSE PYTHON: Debian packages that are missing, by apt; elsewhere nothing can be done here.
ready_packages() {
    local purpose=$1 base=$2 needed=("${qt_packages[@]}" "${window_packages[@]}") missing
    [[ $purpose == test ]] && needed+=("${test_packages[@]}")
    [[ -n $base ]] || needed+=(python3-venv)
    command -v dpkg-query apt-get >/dev/null || return 0
    mapfile -t missing < <(missing_of "${needed[@]}")
    ((${#missing[@]})) || return 0
    install_packages "${missing[@]}"
    mapfile -t missing < <(missing_of "${needed[@]}")
    ((${#missing[@]})) || return 0
    stop_for_packages "${missing[@]}"
}

# Prints those of the packages that are not installed. Debian 13 calls some of them NAMEt64.
missing_of() {
    local installed name
    installed=$(dpkg-query -W -f '${db:Status-Status} ${Package}\n' "$@" "${@/%/t64}" 2>/dev/null)
    for name in "$@"; do
        grep -qxE "installed ${name//./\\.}(t64)?" <<<"$installed" || say "$name"
    done
}

# Installs packages as root, or through sudo when that needs no password or somebody is there to type it.
install_packages() {
    local apt=(env DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=300)
    if [[ $EUID -ne 0 ]]; then
        command -v sudo >/dev/null || return 0
        if sudo -n true 2>/dev/null; then
            apt=(sudo -n "${apt[@]}")
        elif [[ -t 0 && -t 2 ]]; then
            say "The system lacks some parts; sudo may ask for your password to install them."
            apt=(sudo "${apt[@]}")
        else
            return 0
        fi
    fi
    say "Installing what the system lacks: $*"
    {
        "${apt[@]}" update
        "${apt[@]}" install -y --no-install-recommends "$@"
        "${apt[@]}" install -y --no-install-recommends "${nice_packages[@]}"
    } </dev/null >>"$log" 2>&1
}

stop_for_packages() {
    local line="apt-get update && apt-get install -y --no-install-recommends $*"
    if [[ $EUID -eq 0 ]]; then
        stop "These packages could not be installed: $*" "$(short_reason)" \
            "Put that right and start again, or run:  $line"
    elif command -v sudo >/dev/null; then
        stop "The system lacks some parts. Run this line once, then start again:" "" \
            "    sudo sh -c '$line'" ""
    fi
    stop "The system lacks some parts. Run this line once (it asks for root's password), then start again:" "" \
        "    su -c '$line'" ""
}

# ready_venv PYTHON: keeps a .venv that works and was made here; anything else in its place is made anew.
ready_venv() {
    local base=$1
    if [[ -e $venv || -L $venv ]]; then
        venv_is_ours && return
        say "The folder .venv does not work here; it is made anew."
        # Of a link only the link goes: what it points to is somebody else's.
        rm -rf -- "$venv" 2>>"$log" || stop "The folder $venv cannot be removed; remove it and start again."
    fi
    "$base" -m venv "$venv" >>"$log" 2>&1 || stop "The folder $venv could not be made." "$(short_reason)"
}

# A .venv copied from another folder still leads there, so it must name this one.
venv_is_ours() {
    [[ ! -L $venv ]] && grep -qsF -- "$venv" "$venv/bin/activate" &&
        "$python" -Ic 'import sys; sys.exit(sys.version_info < (3, 11))' >>"$log" 2>&1 &&
        "$python" -Im pip --version >>"$log" 2>&1
}

# install_program start|test: the program as a link to this checkout, with what it needs.
install_program() {
    local purpose=$1 what=.
    [[ $purpose == test ]] && what=".[dev]"
    rm -f -- "$venv"/*.stamp
    say "Fetching the Python packages (their log is in .setup.log)..."
    "$python" -m pip install --disable-pip-version-check --no-input --retries 2 -e "$what" </dev/null >>"$log" 2>&1 ||
        stop "The Python packages could not be installed." "$(short_reason)" "All of it is in $log"
    "$python" -Ic 'import PySide6.QtWidgets' 2>>"$log" ||
        stop "Qt, which draws the window, does not load on this system." "$(short_reason)" "All of it is in $log"
}

# What the end of the log says went wrong, in a line or two, with what to do about it where that is known.
short_reason() {
    local end no_network='name resolution|could not resolve|unable to connect|could not connect|failed to establish'
    no_network+='|connection (failed|refused|broken|timed out)|network is unreachable|timed out'
    end=$(tail -n 40 "$log")
    if grep -qiE 'no space left|not enough free (disk )?space' <<<"$end"; then
        say "The disk is full: make room and start again."
    elif grep -qiE "$no_network" <<<"$end"; then
        say "The network cannot be reached: connect to it and start again."
    elif grep -qi 'certificate' <<<"$end"; then
        say "The network's certificate was not accepted: check the date of this machine and start again."
    else
        grep -E '^(E:|ERROR|Error|error|ImportError|.*denied)' <<<"$end" | tail -n 2 | grep . || tail -n 2 <<<"$end"
    fi
}
