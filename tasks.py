"""One list of commands for this project: python3 tasks.py start | test | check | bench | mutants | docs | lock.

start   make .venv, install what the program needs, and open the workbench in the browser
check   format, lint, types, layers, house rules and documents
test    all tests, with the floor for coverage
bench   the benchmarks, against the last kept results; with --keep they are kept as well
mutants change the code a little, thousands of times, and see whether a test notices; takes hours
docs    write the generated pages and drawings of docs/ again, and build the documentation site from them
lock    renew the lists in requirements/ from pyproject.toml, each package at its newest fitting release

Exit status: 0 fine, 1 something failed, 2 wrong use. Plain standard library, on Linux, macOS and Windows.
"""

# Kept readable by Python 3.6, so that an old Python gets to say that it is too old.

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
LISTS = ("run", "check", "test", "bench", "mutation")  # each contains the one before it
OLDEST = (3, 11)
OLDEST_TEXT = "{}.{}".format(*OLDEST)
UNREACHABLE = (
    "connection",
    "timed out",
    "name resolution",
    "getaddrinfo",
    "proxyerror",
    "network is unreachable",
)
BEGUN = time.monotonic()


class TaskError(Exception):
    """A step failed; the message is the one line that the user sees."""


def say(text):
    """Print one line of progress with the seconds since the beginning."""
    print(f"[{time.monotonic() - BEGUN:6.1f} s] {text}", flush=True)


def old_python_message(version):
    """Tell what to do when this Python is too old; an empty string when it is not."""
    if tuple(version[:2]) >= OLDEST:
        return ""
    return (
        f"this is Python {version[0]}.{version[1]}, and clutchwright needs {OLDEST_TEXT} or newer; "
        f"install it and start this with it, for instance: python{OLDEST_TEXT} tasks.py start"
    )


def missing_venv_message(platform, found):
    """Tell what to do when this Python cannot make a virtual environment; an empty string when it can."""
    if found:
        return ""
    remedy = "install a Python that has the venv and ensurepip modules"
    if platform.startswith("linux"):
        remedy = "install them (Debian, Ubuntu: apt install python3-venv) and run this again"
    return "this Python lacks the venv or ensurepip module; " + remedy


def pip_failure_message(output):
    """Turn what pip printed into one line that says what to do."""
    errors = [line.strip() for line in output.splitlines() if line.strip().lower().startswith("error")]
    if any(sign in output.lower() for sign in UNREACHABLE):
        return (
            "the package index cannot be reached; check the network (behind a proxy set HTTPS_PROXY, "
            "for a mirror of your own set PIP_INDEX_URL) and run this again: what is installed already is kept"
        )
    if any("no space left" in line.lower() for line in output.splitlines()):
        return "the disk is full; free some space and run this again"
    return "pip failed: " + (errors[0] if errors else output.strip()[-200:] or "it gave no reason")


def program(name):
    """Path of a program in the virtual environment."""
    if os.name == "nt":
        return str(VENV / "Scripts" / (name + ".exe"))
    return str(VENV / "bin" / name)


def environment():
    """Environment for the programs started here: they print UTF-8 wherever it goes, and keep what Python compiles."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return dict(kept, PYTHONUTF8="1")


def run(step, *command):
    """Run a program, its output shown as it comes; whether it went well."""
    say(step)
    return subprocess.call(list(command), cwd=str(ROOT), env=environment()) == 0


def pip(*arguments):
    """Run pip in the virtual environment, quietly; raise when it fails."""
    command = [program("python"), "-m", "pip", "--disable-pip-version-check", *arguments]
    done = subprocess.run(
        command, cwd=str(ROOT), env=environment(), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False
    )
    if done.returncode != 0:
        raise TaskError(pip_failure_message(done.stdout.decode("utf-8", "replace")))


def list_file(name):
    """Path of a locked list of packages."""
    return ROOT / "requirements" / (name + ".txt")


def stamp(name):
    """Fingerprint of all that decides what an installation of a list holds."""
    parts = [sys.version, str(ROOT), (ROOT / "pyproject.toml").read_text("utf-8"), list_file(name).read_text("utf-8")]
    return hashlib.sha256("\0".join(parts).encode("utf-8")).hexdigest()


def installed(name):
    """Whether the virtual environment already holds a list as it stands now."""
    mark = VENV / (name + ".stamp")
    return mark.is_file() and mark.read_text("utf-8") == stamp(name)


def make_venv():
    """Make the virtual environment unless it is there and works."""
    if Path(program("python")).is_file() and (VENV / "made.stamp").is_file():
        return
    found = all(importlib.util.find_spec(module) for module in ("venv", "ensurepip"))
    message = missing_venv_message(sys.platform, found)
    if message:
        raise TaskError(message)
    if not run("make .venv", sys.executable, "-m", "venv", "--clear", str(VENV)):
        message = f"no virtual environment could be made in {VENV}; see the lines above"
        raise TaskError(message)
    (VENV / "made.stamp").write_text(sys.version, "utf-8")


def install(name):
    """Install a locked list, and this project itself from the same list's build tool."""
    make_venv()
    if installed(name):
        return
    say(f"install requirements/{name}.txt (the first time takes a minute or two)")
    pip("install", "--quiet", "--retries", "2", "--require-hashes", "-r", str(list_file(name)))
    say("install clutchwright itself")
    pip("install", "--quiet", "--no-index", "--no-deps", "--no-build-isolation", "-e", str(ROOT))
    for held in LISTS[: LISTS.index(name) + 1]:
        (VENV / (held + ".stamp")).write_text(stamp(held), "utf-8")


def finish(failed):
    """Say how it went, and give the exit status."""
    say("failed: " + ", ".join(failed) if failed else "all fine")
    return 1 if failed else 0


def start():
    """Install what the program needs and open the workbench."""
    install("run")
    return finish([] if run("open the workbench", program("clutchwright"), "open") else ["open"])


def check():
    """Run each check, to the end even when one fails."""
    install("check")
    python = program("python")
    folders = [folder for folder in ("tests/house", "tests/docs") if (ROOT / folder).is_dir()]
    steps = (
        ("format", [python, "-m", "ruff", "format", "--check", "--quiet", "."]),
        ("lint", [python, "-m", "ruff", "check", "--quiet", "."]),
        ("types", [python, "-m", "mypy", "--no-error-summary"]),
        ("layers", [program("lint-imports"), "--no-logo"]),
        ("house rules and documents", [python, "-m", "pytest", "-q", *folders]),
    )
    return finish([name for name, command in steps if not run(name, *command)])


def test():
    """Run all tests on two processes and hold the floor for coverage."""
    install("test")
    command = [program("python"), "-m", "pytest", "-n", "2", "--dist", "worksteal", "--cov", "--cov-report=term"]
    return finish([] if run("tests", *command) else ["tests"])


def bench(*words):
    """Run the benchmarks, when there are any."""
    if not (ROOT / "benchmarks").is_dir():
        message = "there is no folder benchmarks/, so there is nothing to time"
        raise TaskError(message)
    install("bench")
    return finish([] if run("benchmarks", program("python"), "-m", "benchmarks", *words) else ["benchmarks"])


def mutants():
    """Find changes of the code that no test notices, and write the page of how good the tests are."""
    install("mutation")
    steps = ("mutation_run", "mutation_page")
    return finish([name for name in steps if not run(name, program("python"), "-m", "docs." + name)])


def docs():
    """Write the generated pages and drawings again, then build the site."""
    install("check")
    steps = [
        (name, ["-m", "docs." + name])
        for name in (
            "drawings",
            "readme_picture",
            "reference_pages",
            "hand_comparison",
            "validation_page",
            "speed_page",
            "mutation_page",
        )
    ]
    shutil.rmtree(str(ROOT / "docs" / "reference" / "modules"), ignore_errors=True)
    site = ROOT / "build" / "site"
    steps.append(
        ("site", ["-m", "sphinx", "-q", "-W", "--keep-going", "-n", "-E", "-d", "build/site-cache", "docs", str(site)])
    )
    failed = [name for name, arguments in steps if not run(name, program("python"), *arguments)]
    if "site" not in failed:
        say("front page of the documentation: " + str(site / "index.html"))
    return finish(failed)


def lock():
    """Renew the locked lists: any system, any Python from the oldest on, a hash for each file, no address."""
    install("check")
    fixed = ["--universal", "--generate-hashes", "--upgrade", "--quiet", "--no-config"]
    fixed += ["--python-version", OLDEST_TEXT, "--no-emit-index-url", "--no-emit-find-links"]
    fixed += ["--custom-compile-command", "python3 tasks.py lock"]
    smaller = []
    for name in LISTS:
        target = ["--group", name, "--output-file", f"requirements/{name}.txt"]
        if not run("lock " + name, program("uv"), "pip", "compile", "pyproject.toml", *fixed, *smaller, *target):
            return finish(["lock " + name])
        smaller = ["--constraints", f"requirements/{name}.txt"]
    return finish([])


TASKS = {
    "start": start,
    "test": test,
    "check": check,
    "bench": bench,
    "mutants": mutants,
    "docs": docs,
    "lock": lock,
}


def main(arguments):
    """Do the task named; give the exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    name, words = "".join(arguments[:1]), arguments[1:]
    if name not in TASKS or words not in ([], ["--keep"] if name == "bench" else []):
        shown = [each + " [--keep]" if each == "bench" else each for each in TASKS]
        print("usage: python3 tasks.py {}".format(" | ".join(shown)), file=sys.stderr)
        return 2
    message = old_python_message(sys.version_info)
    try:
        if not message:
            return TASKS[name](*words)
    except TaskError as error:
        message = str(error)
    except KeyboardInterrupt:
        message = "stopped"
    print(f"tasks.py {name}: {message}", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
