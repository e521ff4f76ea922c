"""Gathers the licences of what is compiled into the program, as the packages that it was built from state them.

usage: copyright.py OUT SOURCES_FOLDER
"""
import gzip
import pathlib
import sys

OURS = """Intercusp: copyright of its authors. The parts of others that are built into it come under the terms below.
"""
# From installed packages, their own statement; from source packages, what a file of theirs says between two words.
PACKAGES = ["fonts-inter", "libeigen3-dev", "nlohmann-json3-dev", "libcli11-dev", "libstb-dev", "libboost1.*-dev"]
SOURCES = [("Dear ImGui", "imgui/LICENSE.txt", "The MIT License", "$"),
           ("meshoptimizer", "meshoptimizer/LICENSE.md", "MIT License", "$"),
           ("QR Code generator", "qr-code-generator/c/qrcodegen.c", "Copyright", "*/"),
           ("libharu", "libharu/src/hpdf_doc.c", "Copyright", "*/"),
           ("libharu, as its README says", "libharu/README", "Haru is distributed under", "* Acknowledgment")]


def between(path, first, last):
    text = path.read_text(encoding="utf-8", errors="replace") + "$"
    if first not in text or last not in text:
        sys.exit(f"copyright.py: {path} no longer states its licence as expected; look at it and mend SOURCES")
    begin = text.index(first)
    return text[begin:text.index(last, begin)].rstrip("\n *")


def stated(package):
    for path in sorted(pathlib.Path("/usr/share/doc").glob(f"{package}/copyright*"), reverse=True):
        raw = path.read_bytes()
        return (gzip.decompress(raw) if path.suffix == ".gz" else raw).decode("utf-8", "replace")
    sys.exit(f"copyright.py: {package} states no licence under /usr/share/doc; install the package again")


def main():
    out, sources = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    parts = [OURS]
    for name, path, first, last in SOURCES:
        parts.append(f"{name}\n\n{between(sources / path, first, last)}\n")
    parts += [f"{package}\n\n{stated(package)}" for package in PACKAGES]
    out.write_text(("\n" + "-" * 78 + "\n\n").join(parts), encoding="utf-8")


if __name__ == "__main__":
    main()
