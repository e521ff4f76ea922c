"""Measures a bite from landmarks and scans, independently of the program.

Written from the words of docs/methods.md with NumPy and SciPy alone. It shares no code and no constant with the
program: where both agree, the words were understood the same way twice.

Points are rows of three numbers in millimetres; a set of landmarks is a dictionary from name to point.

    oracle.py LANDMARKS.json [LOWER.stl]      prints every measure as JSON
"""

import json
import math
import sys

import numpy as np
from scipy.spatial.transform import Rotation
from scipy.stats import norm

SIDES = {"right": ("1", "4"), "left": ("2", "3")}


class Missing(Exception):
    """A landmark that is not placed."""


class Points(dict):
    def __missing__(self, name):
        raise Missing(name)

    def has(self, *names):
        return all(name in self for name in names)


def unit(v):
    return v / math.sqrt(v @ v)


def cross(a, b):
    """For two single vectors, faster than np.cross."""
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def distance(a, b):
    return math.sqrt((a - b) @ (a - b))


# Frames and movements


class Frame:
    """u up, f forward, l to the patient's left, all unit vectors; origin at the upper incisal midpoint."""

    def __init__(self, p):
        self.origin = (p["11.incisal_edge_mid"] + p["21.incisal_edge_mid"]) / 2
        left, right = self.posterior(p)
        self.u = unit(cross(p[left] - self.origin, p[right] - self.origin))
        if p.has("raphe_anterior", "raphe_posterior"):
            along = p["raphe_anterior"] - p["raphe_posterior"]
            self.f = unit(along - self.u * (along @ self.u))
            self.l = cross(self.u, self.f)
        else:
            mean = self.across(p)
            self.l = unit(mean - self.u * (mean @ self.u))
            self.f = cross(self.l, self.u)

    @staticmethod
    def posterior(p):
        for tooth, cusp in (("6", "mesiobuccal_cusp"), ("7", "mesiobuccal_cusp"), ("5", "buccal_cusp")):
            left, right = f"2{tooth}.{cusp}", f"1{tooth}.{cusp}"
            if p.has(left, right):
                return left, right
        raise Missing("a cusp on both sides")

    @staticmethod
    def across(p):
        cusps = (("3", "cusp_tip"), ("4", "buccal_cusp"), ("6", "mesiobuccal_cusp"), ("7", "mesiobuccal_cusp"))
        names = [(f"2{t}.{c}", f"1{t}.{c}") for t, c in cusps]
        differences = [p[left] - p[right] for left, right in names if p.has(left, right)]
        if not differences:
            raise Missing("a pair of cusps")
        return np.mean(differences, axis=0)

    def patient(self):
        """Rotation and translation from the space of the landmarks to the patient frame of a case without bone."""
        rows = np.array([self.l, -self.f, self.u])
        return rows, -rows @ self.origin


def rotation(pitch, roll, yaw):
    """R = Rz(yaw) Rx(-pitch) Ry(roll), degrees: fixed axes, roll first."""
    return Rotation.from_euler("yxz", [roll, -pitch, yaw], degrees=True).as_matrix()


def movement(pivot, forward=0.0, up=0.0, left=0.0, pitch=0.0, roll=0.0, yaw=0.0):
    """A function that moves rows of points of the patient frame."""
    r, shift = rotation(pitch, roll, yaw), np.array([left, -forward, up])
    return lambda x: (np.asarray(x) - pivot) @ r.T + pivot + shift


# Measures: each a function of points and frame that gives a value


PAIRS = (("11", "41"), ("21", "31"))


def overjet_of(pair):
    return lambda p, fr: (p[pair[0] + ".incisal_edge_labial"] - p[pair[1] + ".incisal_edge_labial"]) @ fr.f


def overbite_of(pair):
    return lambda p, fr: (p[pair[1] + ".incisal_edge_mid"] - p[pair[0] + ".incisal_edge_mid"]) @ fr.u


def overbite_percent_of(pair):
    def value(p, fr):
        height = (p[pair[1] + ".incisal_edge_mid"] - p[pair[1] + ".gingival_mid"]) @ fr.u
        return 100 * overbite_of(pair)(p, fr) / height

    return value


def readings(p, fr, of):
    out = {}
    for pair in PAIRS:
        try:
            out[pair] = of(pair)(p, fr)
        except Missing:
            pass
    return out


def headline(read):
    """The pair of larger magnitude; the first where they are equal within a millionth of a millimetre."""
    if not read:
        raise Missing("a pair of central incisors")
    pairs = [pair for pair in PAIRS if pair in read]
    if len(pairs) == 2 and abs(read[pairs[1]]) > abs(read[pairs[0]]) + 1e-6:
        return pairs[1]
    return pairs[0]


def overbite_pair(p, fr):
    overjets, overbites = readings(p, fr, overjet_of), readings(p, fr, overbite_of)
    if overjets and headline(overjets) in overbites:
        return headline(overjets)
    return headline(overbites)


def dental_midline(p, right, left):
    return (p[right + ".contact_mesial"] + p[left + ".contact_mesial"]) / 2


def midline_upper_lower(p, fr):
    return (dental_midline(p, "11", "21") - dental_midline(p, "41", "31")) @ fr.l


def side_direction(p, fr, side):
    lower = SIDES[side][1]
    front = lower + "4.contact_mesial"
    along = p[front if front in p else lower + "5.contact_mesial"] - p[lower + "6.contact_distal"]
    return unit(along - fr.u * (along @ fr.u))


def molar_ends(p, side):
    upper, lower = SIDES[side]
    return p[upper + "6.mesiobuccal_cusp"], p[lower + "6.buccal_groove"]


def canine_ends(p, side):
    upper, lower = SIDES[side]
    return p[upper + "3.cusp_tip"], (p[lower + "3.contact_distal"] + p[lower + "4.contact_mesial"]) / 2


def offset(ends, side):
    def value(p, fr):
        upper, lower = ends(p, side)
        return (upper - lower) @ side_direction(p, fr, side)

    return value


def molar_unit(p, fr, side):
    lower = SIDES[side][1]
    return abs((p[lower + "6.contact_mesial"] - p[lower + "6.buccal_groove"]) @ side_direction(p, fr, side))


def tooth_width(p, tooth):
    return distance(p[tooth + ".contact_mesial"], p[tooth + ".contact_distal"])


def canine_unit(p, fr, side):
    lower = SIDES[side][1]
    return (tooth_width(p, lower + "3") + tooth_width(p, lower + "4")) / 2


def patients_unit(unit_of, p, fr, side, default):
    """The patient's own unit where its landmarks exist and give one of at least half a millimetre."""
    try:
        own = unit_of(p, fr, side)
    except Missing:
        return default
    return own if own >= 0.5 else default


def width(right, left):
    return lambda p, fr: distance(p[right], p[left])


def tooth_size(last):
    def total(p, quadrants):
        return sum(tooth_width(p, f"{q}{n}") for q in quadrants for n in range(1, last + 1))

    return lambda p, fr: 100 * total(p, "34") / total(p, "12")


def spee_names(side):
    q = SIDES[side][1]
    cusps = ["3.cusp_tip", "4.buccal_cusp", "5.buccal_cusp"]
    cusps += ["6.mesiobuccal_cusp", "6.distobuccal_cusp", "7.mesiobuccal_cusp"]
    return q + "1.incisal_edge_mid", q + "7.distobuccal_cusp", [q + c for c in cusps]


def spee_depth(side, cusp):
    """Depth of one cusp below the line, both in the sagittal plane: coordinates along f and u."""

    def value(p, fr):
        front, back, _ = spee_names(side)
        flat = lambda name: np.array([p[name] @ fr.f, p[name] @ fr.u])
        line = unit(flat(back) - flat(front))
        down = np.array([line[1], -line[0]])
        down = down if down[1] < 0 else -down
        return (flat(cusp) - flat(front)) @ down

    return value


def spee_cusp(p, fr, side):
    front, back, cusps = spee_names(side)
    for name in (front, back, cusps[3]):
        p[name]
    depths = {c: spee_depth(side, c)(p, fr) for c in cusps if c in p}
    deepest = max(depths, key=depths.get)
    return deepest if depths[deepest] >= 0 else min(depths, key=depths.get)


def premolar_ends(p, side):
    upper, lower = SIDES[side]
    return p[upper + "4.buccal_cusp"], (p[lower + "4.contact_distal"] + p[lower + "5.contact_mesial"]) / 2


# One distance on each of several tooth pairs: {"11/41": value}, and the worst of them


def along(upper, lower, direction):
    """How far the upper point lies from the lower one along f, u or outwards."""
    return lambda p, fr: (p[upper] - p[lower]) @ direction(fr)


def incisor_offsets():
    name = ".incisal_edge_labial"
    return {f"{u}/{w}": along(u + name, w + name, lambda fr: fr.f) for u, w in zip(("12", "11", "21", "22"), ("42", "41", "31", "32"))}


def edge_gaps():
    out = {}
    for u, w in zip(("13", "12", "11", "21", "22", "23"), ("43", "42", "41", "31", "32", "33")):
        name = ".cusp_tip" if u[1] == "3" else ".incisal_edge_mid"
        out[f"{u}/{w}"] = along(u + name, w + name, lambda fr: fr.u)
    return out


def outside(upper, lower, tooth, side):
    """Away from the tongue: across the lower tooth's line of contacts, in the occlusal plane."""

    def value(p, fr):
        away = -fr.l if side == "right" else fr.l
        mesial, distal = tooth + ".contact_mesial", tooth + ".contact_distal"
        if mesial in p and distal in p:
            line = p[mesial] - p[distal]
            across = unit(cross(fr.u, line))
            away = across if side == "left" else -across
        return (p[upper] - p[lower]) @ away

    return value


def back_offsets(side, inner):
    (uq, lq), out = SIDES[side], {}
    for n in "4567":
        outer_cusp = "mesiobuccal_cusp" if n in "67" else "buccal_cusp"
        inner_cusp = "mesiopalatal_cusp" if n in "67" else "palatal_cusp"
        upper, lower = f"{uq}{n}.{inner_cusp if inner else outer_cusp}", f"{lq}{n}.{outer_cusp}"
        out[f"{uq}{n}/{lq}{n}"] = outside(upper, lower, lq + n, side)
    return out


def worst_row(offsets, p, fr, least):
    read = {}
    for key, of in offsets.items():
        try:
            read[key] = float(of(p, fr))
        except Missing:
            pass
    worst = None
    for key, value in read.items():
        if worst is None or (read[worst] - value if least else value - read[worst]) > 1e-6:
            worst = key
    if worst is None:
        return None
    return {"of": offsets[worst], "pairs": read}


# Arch form


ARCHES = {"upper": ("1", "2"), "lower": ("4", "3")}


def arch_front(p, arch):
    right, left = ARCHES[arch]
    return (p[right + "1.contact_mesial"] + p[left + "1.contact_mesial"]) / 2


def arch_depth(arch):
    def value(p, fr):
        right, left = (p[q + "6.contact_mesial"] for q in ARCHES[arch])
        flat = lambda v: np.array([v @ fr.f, v @ fr.l])
        line, to_front = unit(flat(left - right)), flat(arch_front(p, arch) - right)
        return abs(line[0] * to_front[1] - line[1] * to_front[0])

    return value


def arch_perimeter(arch):
    def value(p, fr):
        total = 0.0
        for q in ARCHES[arch]:
            corners = [p[f"{q}{n}.contact_mesial"] for n in "643"] + [arch_front(p, arch)]
            total += sum(distance(a, b) for a, b in zip(corners, corners[1:]))
        return total

    return value


def crowding(arch):
    def value(p, fr):
        widths = sum(tooth_width(p, f"{q}{n}") for q in ARCHES[arch] for n in "12345")
        return widths - arch_perimeter(arch)(p, fr)

    return value


def tooth_size_excess(last, mean):
    def value(p, fr):
        upper, lower = (sum(tooth_width(p, f"{q}{n}") for q in quadrants for n in range(1, last + 1)) for quadrants in ("12", "34"))
        return lower - mean * upper if lower > mean * upper else -(upper - lower / mean)

    return value


def wilson(arch):
    """Depth of the inner cusps below the line of the outer ones, seen from in front: coordinates along l and u."""

    def value(p, fr):
        right, left = ("16", "26") if arch == "upper" else ("46", "36")
        inner = ".mesiopalatal_cusp" if arch == "upper" else ".mesiolingual_cusp"
        flat = lambda v: np.array([v @ fr.l, v @ fr.u])
        a, b = flat(p[right + ".mesiobuccal_cusp"]), flat(p[left + ".mesiobuccal_cusp"])
        middle = flat((p[right + inner] + p[left + inner]) / 2)
        line = unit(b - a)
        return -((middle - a) @ np.array([-line[1], line[0]]))

    return value


# Crown axes of the front teeth, in degrees

ANDREWS = {
    "angulation": {"upper": (3.59, 8.04, 8.40), "lower": (0.53, 0.38, 2.48)},
    "inclination": {"upper": (6.11, 4.42, -7.25), "lower": (-1.71, -3.24, -12.73)},
}


def crown_angle(tooth, kind):
    def value(p, fr):
        axis = p[tooth + ".incisal_edge_labial"] - p[tooth + ".gingival_mid"]
        across = p[tooth + ".contact_mesial"] - p[tooth + ".contact_distal"]
        m = unit(across - fr.u * (across @ fr.u))
        # towards the lip: to the patient's right of the way to the midline on the right half, to the left on the left
        b = cross(m, fr.u) if tooth[0] in "14" else cross(fr.u, m)
        n = -fr.u if tooth[0] in "12" else fr.u
        return math.degrees(math.atan2(axis @ (b if kind == "inclination" else m), axis @ n))

    return value


def inclination_row(teeth, p, fr):
    read = {}
    for tooth in teeth:
        try:
            read[tooth] = float(crown_angle(tooth, "inclination")(p, fr))
        except Missing:
            pass
    if not read:
        return None
    mean = lambda p, fr: sum(crown_angle(t, "inclination")(p, fr) for t in read) / len(read)
    return {"of": mean, "pairs": read}


def departure_row(arch, kind, p, fr):
    teeth = ("13", "12", "11", "21", "22", "23") if arch == "upper" else ("43", "42", "41", "31", "32", "33")
    average = lambda tooth: ANDREWS[kind][arch][int(tooth[1]) - 1]
    read, worst = {}, None
    for tooth in teeth:
        try:
            read[tooth] = float(crown_angle(tooth, kind)(p, fr))
        except Missing:
            continue
        if worst is None or abs(read[tooth] - average(tooth)) > abs(read[worst] - average(worst)) + 1e-6:
            worst = tooth
    if worst is None:
        return None
    return {"of": lambda p, fr: crown_angle(worst, kind)(p, fr) - average(worst), "pairs": read, "finding": worst}


# The arch against the head


def head_axes(p, normal):
    ahead = (p["Or_right"] + p["Or_left"]) / 2 - (p["Po_right"] + p["Po_left"]) / 2
    forward = unit(ahead - normal * (ahead @ normal))
    return forward, cross(forward, normal)


def head_rows(p):
    try:
        _, normal = midsagittal(p)
        head_axes(p, normal)
    except Missing:
        return {}

    def cant(p, fr):
        forward, up = head_axes(p, normal)
        across = p["26.mesiobuccal_cusp"] - p["16.mesiobuccal_cusp"]
        return math.degrees(math.atan2(-(across @ up), across @ normal))

    def yaw(p, fr):
        forward, _ = head_axes(p, normal)
        return math.degrees(math.atan2(fr.f @ normal, fr.f @ forward))

    return {"occlusal_cant": {"of": cant}, "occlusal_yaw": {"of": yaw}}


# Class of the whole bite


def angle_class(rows, p, fr):
    """Finding, class and probability from the two molar rows."""
    right, left = rows["molar_right"], rows["molar_left"]
    try:
        central = [t for t in ("11", "21") if all(f"{t}.{x}" in p for x in ("incisal_edge_labial", "gingival_mid", "contact_mesial", "contact_distal"))]
        mean = sum(crown_angle(t, "inclination")(p, fr) for t in central) / len(central)
        division = " division 2" if mean < 0 else " division 1"
    except ZeroDivisionError:
        division = ""
    word = lambda c: f"Class {c}" + (division if c == "II" else "")
    a, b = right["class"], left["class"]
    row = {"value": (right["value"] + left["value"]) / 2, "probability": right["probability"] * left["probability"]}
    row["pairs"] = {"right": right["value"], "left": left["value"]}
    if a == b:
        row["finding"], row["class"] = word(a), a
    elif "I" in (a, b):
        row["class"] = b if a == "I" else a
        row["finding"] = word(row["class"]) + ", subdivision " + ("left" if a == "I" else "right")
    else:
        row["finding"] = f"{word(a)} right, {word(b)} left"
    return row


# The midsagittal plane, of cases with a skull

# Pairs that move with a jaw and so say nothing about the skull.
OF_A_JAW = (
    "Co", "condyle_centre", "Go", "Ar", "lingula", "mandibular_foramen", "mental_foramen", "mandibular_canal_ramus",
    "mandibular_canal_angle", "mandibular_canal_turn", "mandibular_canal_back", "mandibular_canal_front", "J", "NC", "PMJ",
    "greater_palatine_foramen",
)


def midsagittal(p):
    p["N"]
    across = []
    for name in p:
        if not name.endswith("_right") or "." in name or name[: -len("_right")] in OF_A_JAW:
            continue
        partner = name[: -len("right")] + "left"
        if partner in p:
            across.append(unit(p[partner] - p[name]))
    if not across:
        raise Missing("a pair of the skull")
    return p["N"], unit(np.mean(across, axis=0))


# Readings from the scan


def read_stl(path):
    """Triangles of a binary STL as an array of n x 3 x 3."""
    with open(path, "rb") as file:
        file.seek(80)
        count = int.from_bytes(file.read(4), "little")
        record = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
        return np.frombuffer(file.read(), dtype=record, count=count)["v"].astype(float)


def write_stl(path, triangles):
    record = np.zeros(len(triangles), dtype=np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")]))
    record["v"] = triangles
    with open(path, "wb") as file:
        file.write(b"\0" * 80 + len(triangles).to_bytes(4, "little") + record.tobytes())


def first_hit(triangles, start, direction):
    """Distance along the unit direction to the nearest triangle hit; None without one. By the parallelogram volumes."""
    a, b, c = triangles[:, 0] - start, triangles[:, 1] - start, triangles[:, 2] - start
    inside = np.stack([np.cross(x, y) @ direction for x, y in ((b, c), (c, a), (a, b))])
    total = inside.sum(axis=0)
    hit = (np.all(inside >= 0, axis=0) | np.all(inside <= 0, axis=0)) & (np.abs(total) > 1e-15)
    along = sum(inside[i, hit] * (corner[hit] @ direction) for i, corner in enumerate((a, b, c))) / total[hit]
    along = along[along >= 0]
    return float(along.min()) if along.size else None


def probe(p, fr, pair, lower_triangles):
    """The overjet a probe reads on the lower scan; None where it cannot touch the labial surface."""
    upper, lower = p[pair[0] + ".incisal_edge_labial"], p[pair[1] + ".incisal_edge_labial"]
    level = lower + fr.u * ((upper - lower) @ fr.u)
    margin = pair[1] + ".gingival_mid"
    if (upper - lower) @ fr.u > 0 or (margin in p and (upper - p[margin]) @ fr.u < 0):
        return None
    along = first_hit(lower_triangles, level + 20 * fr.f, -fr.f)
    if along is None or abs(20 - along) > 6:
        return None
    return (upper - lower) @ fr.f - (20 - along)


def lateral_gaps(p, fr, side, lower_triangles):
    """Gap straight down from each palatal cusp to the lower scan."""
    out, quadrant = {}, SIDES[side][0]
    for n in "4567":
        name = f"{quadrant}{n}.{'mesiopalatal_cusp' if n in '67' else 'palatal_cusp'}"
        if name not in p:
            continue
        met = first_hit(lower_triangles, p[name] + 3 * fr.u, -fr.u)
        if met is not None and met <= 11:
            out[f"{quadrant}{n}"] = met - 3
    return out


# Everything together


def watched(p, read):
    """The names of the points that `read` looks at."""

    class Watched(Points):
        def __getitem__(self, name):
            seen.add(name)
            return super().__getitem__(name)

    seen = set()
    read(Watched(p))
    return seen


def spread(p, value, sd):
    """One standard deviation under independent errors of every coordinate, by central differences."""
    fr, h = Frame(p), 1e-4
    of_frame = watched(p, Frame)
    squares = 0.0
    for name in of_frame | watched(p, lambda q: value(q, fr)):
        kept = p[name]

        def displaced(by):
            p[name] = kept + by
            read = value(p, Frame(p) if name in of_frame else fr)
            p[name] = kept
            return read

        squares += sum(((displaced(h * axis) - displaced(-h * axis)) / (2 * h)) ** 2 for axis in np.eye(3))
    return sd * math.sqrt(squares)


def classify(row, unit_mm):
    quarters = math.floor(abs(4 * row["value"] / unit_mm) + 0.5)
    row["unit_mm"] = unit_mm
    row["quarters"] = int(math.copysign(quarters, row["value"])) if quarters else 0
    row["class"] = "I" if quarters == 0 else "II" if row["value"] > 0 else "III"
    below, above = norm.cdf([-unit_mm / 8, unit_mm / 8], loc=row["value"], scale=row["uncertainty"])
    row["probability"] = {"III": below, "II": 1 - above, "I": above - below}[row["class"]]


def incisor_rows(p, fr, lower_triangles):
    overjets = readings(p, fr, overjet_of)
    out = {}
    if overjets:
        pair = headline(overjets)
        out["overjet"] = {"pairs": {"/".join(k): v for k, v in overjets.items()}, "of": overjet_of(pair)}
        if lower_triangles is not None:
            out["overjet"]["from_mesh"] = probe(p, fr, pair, lower_triangles)
    pair = overbite_pair(p, fr)
    overbites = readings(p, fr, overbite_of)
    out["overbite"] = {"pairs": {"/".join(k): v for k, v in overbites.items()}, "of": overbite_of(pair)}
    out["overbite_percent"] = {"of": overbite_percent_of(pair)}
    return out


def plain_rows(p, fr):
    rows = {"midline_upper_lower": {"of": midline_upper_lower}}
    for side in SIDES:
        for kind, ends, unit_of in (
            ("molar_", molar_ends, molar_unit),
            ("canine_", canine_ends, canine_unit),
            ("premolar_", premolar_ends, canine_unit),
        ):
            rows[kind + side] = {"of": offset(ends, side), "ends": ends, "unit": unit_of, "side": side}
    rows["intercanine_upper"] = {"of": width("13.cusp_tip", "23.cusp_tip")}
    rows["intercanine_lower"] = {"of": width("43.cusp_tip", "33.cusp_tip")}
    rows["intermolar_upper"] = {"of": width("16.mesiobuccal_cusp", "26.mesiobuccal_cusp")}
    rows["intermolar_lower"] = {"of": width("46.mesiobuccal_cusp", "36.mesiobuccal_cusp")}
    rows["tooth_size_overall"] = {"of": tooth_size(6)}
    rows["tooth_size_anterior"] = {"of": tooth_size(3)}
    for side in SIDES:
        try:
            rows["curve_of_spee_" + side] = {"of": spee_depth(side, spee_cusp(p, fr, side))}
        except Missing:
            pass
    return rows


def worst_rows(p, fr):
    rows = {"anterior_crossbite": worst_row(incisor_offsets(), p, fr, True)}
    rows["open_bite_anterior"] = worst_row(edge_gaps(), p, fr, False)
    for side in SIDES:
        rows["posterior_crossbite_" + side] = worst_row(back_offsets(side, False), p, fr, True)
        rows["scissor_bite_" + side] = worst_row(back_offsets(side, True), p, fr, False)
    rows["incisor_inclination_upper"] = inclination_row(("11", "21"), p, fr)
    rows["incisor_inclination_lower"] = inclination_row(("41", "31"), p, fr)
    for arch in ARCHES:
        rows["crown_inclination_" + arch] = departure_row(arch, "inclination", p, fr)
        rows["crown_angulation_" + arch] = departure_row(arch, "angulation", p, fr)
    return {key: row for key, row in rows.items() if row}


def form_rows():
    rows = {}
    for arch in ARCHES:
        rows["arch_depth_" + arch] = {"of": arch_depth(arch)}
        rows["arch_perimeter_" + arch] = {"of": arch_perimeter(arch)}
        rows["crowding_" + arch] = {"of": crowding(arch)}
        rows["curve_of_wilson_" + arch] = {"of": wilson(arch)}
    rows["tooth_size_excess_overall"] = {"of": tooth_size_excess(6, 0.913)}
    rows["tooth_size_excess_anterior"] = {"of": tooth_size_excess(3, 0.772)}
    return rows


def lateral_rows(p, fr, lower_triangles, sd):
    out = {}
    for side in SIDES if lower_triangles is not None else ():
        gaps = lateral_gaps(p, fr, side, lower_triangles)
        if gaps:
            widest = max(gaps, key=gaps.get)
            out["open_bite_" + side] = {"value": gaps[widest], "pairs": gaps, "uncertainty": math.hypot(sd, 0.02), "finding": widest}
    return out


def midline_face_rows(p, sd):
    """The plane is taken as exact: only the two contact points have errors."""
    try:
        at, normal = midsagittal(p)
    except Missing:
        return {}
    teeth = {"midline_upper_face": ("11", "21"), "midline_lower_face": ("41", "31")}
    return {
        key: {"value": (dental_midline(p, *pair) - at) @ normal, "uncertainty": sd / math.sqrt(2)}
        for key, pair in teeth.items()
        if p.has(*(tooth + ".contact_mesial" for tooth in pair))
    }


def measure(points, lower_triangles=None, unit_mm=7.0, sd=0.3, with_uncertainty=True):
    """Every measure that the landmarks allow: {id: {"value", "uncertainty", "class"?, ...}}."""
    p = Points({name: np.asarray(at, float) for name, at in points.items()})
    fr = Frame(p)
    out = {}
    every = {**incisor_rows(p, fr, lower_triangles), **plain_rows(p, fr), **worst_rows(p, fr), **form_rows(), **head_rows(p)}
    for key, row in every.items():
        value = row.pop("of")
        try:
            row["value"] = float(value(p, fr))
        except Missing:
            continue
        if with_uncertainty:
            row["uncertainty"] = spread(p, value, sd)
        if "ends" in row:
            ends, unit_of, side = row.pop("ends"), row.pop("unit"), row.pop("side")
            upper, lower = ends(p, side)
            row["sagittal_mm"] = float((upper - lower) @ fr.f)
            if with_uncertainty:
                classify(row, patients_unit(unit_of, p, fr, side, unit_mm))
        out[key] = row
    out.update(midline_face_rows(p, sd))
    out.update(lateral_rows(p, fr, lower_triangles, sd))
    if with_uncertainty and "molar_right" in out and "molar_left" in out:
        out["angle_class"] = angle_class(out, p, fr)
        mean = lambda p, fr: (offset(molar_ends, "right")(p, fr) + offset(molar_ends, "left")(p, fr)) / 2
        out["angle_class"]["uncertainty"] = spread(p, mean, sd)
    return out


def read_landmarks(path):
    with open(path, encoding="utf-8") as file:
        data = json.load(file)
    scale = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4}[data["units"]]
    return {name: scale * np.array(at, float) for name, at in data["landmarks"].items()}


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    scan = read_stl(sys.argv[2]) if len(sys.argv) == 3 else None
    print(json.dumps(measure(read_landmarks(sys.argv[1]), scan), indent=2, default=float))
