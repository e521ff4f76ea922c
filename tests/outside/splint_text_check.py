#!/usr/bin/env python3
"""The words raised on a splint, read back from its STL with NumPy alone: the outer wall as a map of heights around the
front, once with and once without the words; how proud and how wide the strokes are, and which letter of the font fits best
at every place.

usage: splint_text_check.py PATH_OF_INTERCUSP PATH_OF_STROKE_FONT
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

import meshio
import numpy as np

CELL = 0.1  # mm


def require(condition, what):
    if not condition:
        raise AssertionError(what)
    print("ok:", what)


def font_of(source):
    """Strokes of every letter, as pairs of points, 4 wide and 6 high."""
    letters = {}
    for letter, lines in re.findall(r"\{'(.)', \"([^\"]*)\"\}", source.read_text()):
        strokes = []
        for line in lines.split("|"):
            points = [(int(p[0]), int(p[1])) for p in line.split()]
            strokes += list(zip(points[:-1], points[1:])) or [(points[0], points[0])]
        letters[letter] = np.array(strokes, float)
    return letters


def samples(path):
    """Points on the triangles of an STL, no farther than half a cell apart."""
    mesh = meshio.read(path)
    corners = mesh.points.astype(float)[mesh.cells_dict["triangle"]]
    parts = []
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(1)
    for n in range(1, 24):
        some = corners[np.clip(np.ceil(longest / (0.5 * CELL)), 1, 23) == n]
        for i in range(n + 1):
            for j in range(n + 1 - i):
                parts.append((i * some[:, 0] + j * some[:, 1] + (n - i - j) * some[:, 2]) / n)
    return np.concatenate(parts)


def wall_map(points, centre, turns, heights):
    """Farthest from the centre for every direction (from the front to the patient's left) and height."""
    off = points[:, :2] - centre
    turn = np.searchsorted(turns, np.arctan2(off[:, 0], -off[:, 1])) - 1
    height = np.floor((points[:, 2] - heights[0]) / CELL).astype(int)
    inside = (turn >= 0) & (turn < len(turns) - 1) & (height >= 0) & (height < len(heights))
    wall = np.zeros((len(turns) - 1, len(heights)))
    np.maximum.at(wall, (turn[inside], height[inside]), np.linalg.norm(off, axis=1)[inside])
    return wall


def drawn(strokes, along, up, unit):
    """Height of the half rounds of a letter at places of its field, mm."""
    nearest = np.full(along.shape, 9.0)
    for (x0, y0), (x1, y1) in strokes * unit:
        d = np.array([x1 - x0, y1 - y0])
        t = np.clip(((along - x0) * d[0] + (up - y0) * d[1]) / max(d @ d, 1e-9), 0, 1)
        nearest = np.minimum(nearest, np.hypot(along - x0 - t * d[0], up - y0 - t * d[1]))
    return np.sqrt(np.maximum(0, 0.42**2 - nearest**2))


class Raised:
    """What stands out of the wall, by the way along it from the front and by height over its middle."""

    def __init__(self, with_words, without):
        centre = 0.5 * (without.min(0) + without.max(0))[:2]
        turns = np.linspace(-1.45, 1.45, 1100)
        heights = np.arange(without[:, 2].min(), without[:, 2].max(), CELL)
        bare, wall = (wall_map(points, centre, turns, heights) for points in (without, with_words))
        radius = bare.max(1)
        middle = 0.5 * (turns[1:] + turns[:-1])
        place = np.stack([radius * np.sin(middle), -radius * np.cos(middle)], 1)
        step = np.diff(place, axis=0)
        along = np.concatenate([[0], np.cumsum(np.linalg.norm(step, axis=1))])
        self.along = along - np.interp(0, middle, along)
        # Radial heights lean where the wall does not face the centre.
        way = np.gradient(place, axis=0)
        outward = np.stack([-way[:, 1], way[:, 0]], 1) / np.linalg.norm(way, axis=1)[:, None]
        lean = np.abs((outward * place).sum(1) / np.linalg.norm(place, axis=1))
        flat = bare > radius[:, None] - 0.4
        self.up = heights + 0.5 * CELL - 0.5 * (np.array([heights[f].min() + heights[f].max() + CELL for f in flat]))[:, None]
        self.proud = np.where(flat & (wall > 0), (wall - bare) * lean[:, None], 0)


def read_back(raised, words, font, letter_mm, stroke_mm):
    unit = letter_mm / 6
    advance = letter_mm * 4 / 6 + stroke_mm + 0.5
    start = -0.5 * len(words) * advance + 0.5 * (stroke_mm + 0.5)
    along = np.broadcast_to(raised.along[:, None], raised.proud.shape)

    def fit(letter, k, shift, lift):
        x, y = along - start - k * advance - shift, raised.up + 0.5 * letter_mm - lift
        field = (x > -0.6) & (x < 4 * unit + 0.6) & (np.abs(y - 3 * unit) < 3 * unit + 0.6)
        return np.abs(raised.proud - drawn(font[letter], x, y, unit))[field].mean() if field.any() else 9

    shown = [(k, c) for k, c in enumerate(words) if c != " "]
    placings = [(s, u) for s in np.arange(-1.5, 1.51, 0.25) for u in np.arange(-0.5, 0.51, 0.25)]
    shift, lift = min(placings, key=lambda at: sum(fit(c, k, *at) for k, c in shown[::4]))
    print(f"found {shift:+.2f} mm along and {lift:+.2f} mm up")
    return "".join(c if c == " " else min(font, key=lambda letter: fit(letter, k, shift, lift)) for k, c in enumerate(words))


def stroke_widths(raised, level):
    """How wide strokes are at a height: runs along the wall, of upright strokes the shortest."""
    runs = []
    for row in range(raised.proud.shape[1]):
        over = raised.proud[:, row] > level
        edges = np.flatnonzero(np.diff(over.astype(int)))
        for a, b in zip(edges[:-1], edges[1:]):
            if over[a + 1]:
                runs.append(raised.along[b] - raised.along[a])
    return np.array(runs)


def main():
    program, font = sys.argv[1], font_of(pathlib.Path(sys.argv[2]))
    require(len(font) == 38, "the font has 26 letters, 10 digits, - and .")
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        run = lambda *args: subprocess.run([program, *map(str, args)], check=True, capture_output=True, text=True).stdout
        run("sample", "class1", "--triangles", 20000, "-o", folder / "case.glb")
        run("move", folder / "case.glb", "--plan", "A", "--segment", "upper", "--up", 1.5, "-o", folder / "plan.glb")
        make = lambda out, *more: json.loads(run("splint", folder / "plan.glb", "--plan", "A", "--step", 0.3, "--tolerance",
                                                 0.05, "--format", "json", "-o", folder / out, *more))
        said = make("words.stl")["raised_text"]
        make("bare.stl", "--no-text")
        raised = Raised(samples(folder / "words.stl"), samples(folder / "bare.stl"))
    read = read_back(raised, said["words"], font, said["letter_mm"] - said["stroke_mm"], said["stroke_mm"])
    require(read == said["words"], f'what is read from the solid is what the report says: "{said["words"]}" "{read}"')
    crest = np.percentile(raised.proud[raised.proud > 0.5 * said["proud_mm"]], 90)
    require(abs(crest - said["proud_mm"]) < 0.06, f"strokes stand {crest:.2f} mm out of the wall, {said['proud_mm']} said")
    level = 0.1
    width = np.median([w for w in stroke_widths(raised, level) if 0.3 < w < 1.3])
    expected = 2 * np.sqrt(said["proud_mm"]**2 - level**2)
    require(abs(width - expected) < 0.15, f"upright strokes are {width:.2f} mm wide {level} mm over the wall, {expected:.2f} by "
            f"a half round of {said['stroke_mm']} mm")


main()
