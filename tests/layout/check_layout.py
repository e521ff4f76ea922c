#!/usr/bin/env python3
"""Checks what the tree promises: which room may include which, where platform code may stand, how long things are, that
two types do not share a name, and that clang-format has nothing to change."""
import pathlib
import re
import shutil
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]

# A room may include itself and what stands to its right.
MAY_INCLUDE = {
    "base": set(),
    "geometry": {"base"},
    "formats": {"base", "geometry"},
    "anatomy": {"base", "geometry"},
    "occlusion": {"base", "geometry", "anatomy"},
    "skeleton": {"base", "geometry", "anatomy"},
    "motion": {"base", "geometry", "anatomy"},
    "surgery": {"base", "geometry", "anatomy", "occlusion", "skeleton", "motion"},
    "casebook": {"base", "geometry", "formats", "anatomy", "occlusion", "skeleton", "motion", "surgery"},
    "practice": {"base", "geometry", "formats", "anatomy", "occlusion", "skeleton", "motion", "surgery", "casebook"},
    "review": {"base", "geometry", "formats", "anatomy", "occlusion", "skeleton", "motion", "surgery", "casebook"},
    "app": {"base", "geometry", "formats", "anatomy", "occlusion", "skeleton", "motion", "surgery", "casebook", "practice", "review"},
}
WINDOW_HEADERS = re.compile(r"#include\s*[<\"](GLES3|GLFW|GL/|imgui|emscripten|boost)")
SOURCE_ENDINGS = {".h", ".cpp"}
LONGEST_FUNCTION = 100


def tracked():
    """What git knows, or everything where the tree came without git."""
    if shutil.which("git"):
        out = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
        if out.returncode == 0 and out.stdout:
            return [ROOT / line for line in out.stdout.splitlines()]
    return [p for top in ("core", "web", "native", "tests") for p in (ROOT / top).rglob("*") if p.is_file()]


def check_includes(path, text, problems):
    room = path.relative_to(ROOT / "core").parts[0]
    for match in re.finditer(r'#include "([a-z_]+)/', text):
        other = match.group(1)
        if other in MAY_INCLUDE and other != room and other not in MAY_INCLUDE.get(room, set()):
            problems.append(f"{path}: {room} must not include {other}")
    if room != "app" and WINDOW_HEADERS.search(text):
        problems.append(f"{path}: window, graphics or network header outside core/app")


def check_function_lengths(path, text, problems):
    """A line that starts in column 0 and ends with '{' opens a function; the next lone '}' closes it."""
    start = None
    for number, line in enumerate(text.splitlines(), 1):
        if start is None and re.match(r"^[A-Za-z].*\)\s*(const\s*)?(noexcept\s*)?\{$", line):
            start = number
        elif start is not None and line == "}":
            if number - start > LONGEST_FUNCTION:
                problems.append(f"{path}:{start}: function of {number - start} lines (at most {LONGEST_FUNCTION})")
            start = None


def declared_types(text):
    """(namespace, type) of each type that a file defines outside anonymous namespaces, in column 0."""
    stack = []
    for line in text.splitlines():
        opened = re.match(r"^namespace\s*([\w:]*)\s*\{$", line)
        if opened:
            stack.append(opened.group(1))
        elif re.match(r"^\}\s*// namespace", line) and stack:
            stack.pop()
        found = re.match(r"^(?:struct|class|enum class|union) (\w+)(?!::|\w)[^;(]*(?:\{|$)", line)
        if found and "" not in stack:
            yield "::".join(stack), found.group(1)


def check_types(paths, problems):
    """One name for two types of one namespace links without a word and runs the wrong one's code."""
    first = {}
    for path, text in paths:
        for key in set(declared_types(text)):
            if key in first:
                problems.append(f"{path}: {key[1]} is defined in {first[key]} as well: give it a name of its own")
            first.setdefault(key, path)


def check_format(paths, problems):
    try:
        done = subprocess.run(["clang-format", "--dry-run", *map(str, paths)], cwd=ROOT, capture_output=True, text=True)
    except FileNotFoundError:
        problems.append("clang-format is missing: install the packages with `bash native/setup/packages.sh test`")
        return
    places = re.findall(r"^(\S+:\d+):\d+: warning: code should be clang-formatted", done.stderr, re.MULTILINE)
    problems += [f"{place}: run clang-format -i on this file" for place in places]
    if done.returncode != 0 and not places:
        problems.append(f"clang-format failed: {done.stderr.strip()}")


def main():
    problems = []
    sources = [path for path in tracked() if path.is_file() and path.suffix in SOURCE_ENDINGS]
    check_format(sources, problems)
    check_types([(path, path.read_text(encoding="utf-8")) for path in sources
                 if path.relative_to(ROOT).parts[0] in ("core", "web", "native")], problems)
    for path in sources:
        text = path.read_text(encoding="utf-8")
        top = path.relative_to(ROOT).parts[0]
        if "__EMSCRIPTEN__" in text and top != "web":
            problems.append(f"{path}: __EMSCRIPTEN__ outside web/")
        if top == "core":
            check_includes(path, text, problems)
        if top in ("core", "web", "native"):
            check_function_lengths(path, text, problems)
    for problem in problems:
        print(problem)
    print(f"{len(problems)} problems")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
