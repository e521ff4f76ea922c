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
        for kind, ends, unit_of in (("molar_", molar_ends, molar_unit), ("canine_", canine_ends, canine_unit)):
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
    for key, row in {**incisor_rows(p, fr, lower_triangles), **plain_rows(p, fr)}.items():
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
