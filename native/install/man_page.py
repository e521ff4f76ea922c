"""Fills the manual page: the commands are those that the program itself lists.

usage: man_page.py PROGRAM TEMPLATE OUT VERSION
"""
import datetime
import gzip
import os
import re
import subprocess
import sys


def commands(program):
    """Name and what it does, as the program's --help lists them."""
    told = subprocess.run([program, "--help"], capture_output=True, text=True, check=True).stdout
    listed = re.findall(r"^  (\w+) {2,}(.+)$", told.split("Subcommands:")[1], re.MULTILINE)
    if not listed:
        sys.exit("man_page.py: the program lists no commands")
    return listed


def main():
    program, template, out, version = sys.argv[1:]
    # A fixed date where the build is to be the same again (the reproducible builds' variable).
    now = int(os.environ.get("SOURCE_DATE_EPOCH", datetime.datetime.now().timestamp()))
    day = datetime.datetime.fromtimestamp(now, datetime.timezone.utc).strftime("%Y-%m-%d")
    rows = "\n".join(f".TP\n.B {name}\n{about}" for name, about in commands(program))
    with open(template, encoding="utf-8") as file:
        text = file.read()
    for mark, value in {"@COMMANDS@": rows, "@VERSION@": version, "@DATE@": day}.items():
        text = text.replace(mark, value)
    with open(out, "wb") as raw, gzip.GzipFile("", "wb", 9, raw, mtime=0) as packed:
        packed.write(text.encode())


if __name__ == "__main__":
    main()
