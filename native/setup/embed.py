#!/usr/bin/env python3
"""Turns files into C++ sources: text (shaders, recipes) as string constants, fonts as a byte array cut down to the letters in use.

    embed.py --text  NAME=FILE ... --out shaders.cpp
    embed.py --font  NAME=FILE ... --out fonts.cpp

The symbols are declared in core/app/embedded.h, core/anatomy/sample_recipes.cpp and core/anatomy/kept_seating.cpp.
"""
import argparse
import io
import os
import sys

# Latin-1, general punctuation, and the few arrows and mathematical signs that the panels write.
LETTERS = (
    list(range(0x20, 0x7F))
    + list(range(0xA0, 0x100))
    + [0x2009, 0x2013, 0x2014, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2026, 0x2032]
    + [0x2190, 0x2191, 0x2192, 0x2193, 0x2212, 0x2248, 0x2264, 0x2265]
)


def cut_font(path):
    from fontTools import subset

    options = subset.Options()
    options.hinting = False
    options.desubroutinize = True
    options.layout_features = []
    options.drop_tables += ["GPOS", "GSUB", "GDEF"]
    options.name_IDs = []
    font = subset.load_font(path, options)
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=LETTERS)
    subsetter.subset(font)
    out = io.BytesIO()
    font["head"].modified = font["head"].created  # the same input gives the same bytes
    font.recalcTimestamp = False
    font.save(out)
    return out.getvalue()


def byte_array(name, data):
    rows = [",".join(str(b) for b in data[i : i + 32]) for i in range(0, len(data), 32)]
    return (
        f"extern const unsigned char k{name}[] = {{\n" + ",\n".join(rows) + "};\n"
        f"extern const unsigned k{name}Size = {len(data)};\n"
    )


def text_constant(name, text):
    return f'extern const char k{name}[] = R"text({text})text";\n'


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--text", nargs="*", default=[])
    parser.add_argument("--font", nargs="*", default=[])
    parser.add_argument("--out", required=True)
    args = parser.parse_args()
    parts = ["namespace intercusp::embedded {\n"]
    for item in args.text:
        name, path = item.split("=", 1)
        with open(path, encoding="utf-8") as f:
            parts.append(text_constant(name, f.read()))
    for item in args.font:
        name, path = item.split("=", 1)
        if not os.path.exists(path):
            sys.exit(f"{path} is missing: install the packages with `bash native/setup/packages.sh`")
        parts.append(byte_array(name, cut_font(path)))
    parts.append("}  // namespace intercusp::embedded\n")
    with open(args.out, "w", encoding="utf-8") as f:
        f.write("".join(parts))


if __name__ == "__main__":
    main()
