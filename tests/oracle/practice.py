#!/usr/bin/env python3
"""Checks practice from outside: the truth of generated questions against the oracle, and the adaptive model against SciPy.

    practice.py --program PATH [--count N] [--seed N]

Every question is worked out again from its landmarks by oracle.py, which knows only the words of docs/methods.md. What will
be in the way is read from surfaces and is left to `intercusp contact`, which has checks of its own.
"""

import argparse
import json
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from scipy.integrate import simpson
from scipy.signal import fftconvolve
from scipy.stats import norm

import oracle

MM, DEG = 1e-5, 1e-4
DEFENSIBLE = 0.35
QUARTER_WORDS = ["Class I", "a quarter unit", "half a unit (end to end)", "three quarters of a unit", "a full unit"]


def run(program, *args, given=""):
    done = subprocess.run([program, *map(str, args)], input=given, capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"practice {' '.join(map(str, args))}: {done.stderr}")
    return done.stdout


def credited(question):
    return {c for c, credit in zip(question["choices"], question["key"]["credits"]) if credit == 1}


def odds(row, low, high):
    """Probability that the offset lies between these quarter units (inclusive)."""
    unit = row["unit_mm"]
    edges = [-np.inf if low is None else (low - 0.5) * unit / 4, np.inf if high is None else (high + 0.5) * unit / 4]
    return float(np.diff(norm.cdf(edges, row["value"], row["uncertainty"]))[0])


def must_be(question, truth, probabilities):
    """The truth is credited, and what is clearly not the truth is not; `probabilities` by choice."""
    got, wrong = credited(question), []
    likeliest = max(probabilities, key=probabilities.get)
    if likeliest not in got:
        wrong.append(f"credits {got}, the oracle says {likeliest}")
    if truth not in got and probabilities[truth] > DEFENSIBLE + 0.03:
        wrong.append(f"does not credit {truth}")
    wrong += [f"credits {c}, {probabilities[c]:.2f} likely" for c in got - {likeliest} if probabilities[c] < DEFENSIBLE - 0.06]
    if (len(got) > 1) != question["key"]["two_answers"]:
        wrong.append("two answers count, and it does not say so")
    return wrong


def quarters_name(q):
    q = max(-4, min(4, q))
    return QUARTER_WORDS[abs(q)] + ("" if q == 0 else " Class II" if q > 0 else " Class III")


def check_relation(question, rows):
    side = re.search(r"right|left", question["prompt"]).group()
    row = rows[question["kind"] + "_" + side]
    if len(question["choices"]) == 3:
        spans = {"Class I": (0, 0), "Class II": (1, None), "Class III": (None, -1)}
        truth = "Class " + row["class"]
    else:
        spans = {quarters_name(q): (q if q > -4 else None, q if q < 4 else None) for q in range(-4, 5)}
        truth = quarters_name(row["quarters"])
    return must_be(question, truth, {name: odds(row, *span) for name, span in spans.items()})


def sides(rows):
    spans = {"I": (0, 0), "II": (1, None), "III": (None, -1)}
    return [{c: odds(rows["molar_" + side], *span) for c, span in spans.items()} for side in ("right", "left")]


def division_two(rows):
    row = rows["incisor_inclination_upper"]
    return float(norm.cdf(0, row["value"], max(row["uncertainty"], 1)))


def check_class(question, rows):
    r, l = sides(rows)
    two = division_two(rows)
    p = {
        "Class I": r["I"] * l["I"],
        "Class II division 1": r["II"] * l["II"] * (1 - two),
        "Class II division 2": r["II"] * l["II"] * two,
        "Class II, subdivision (one side only)": r["II"] * l["I"] + r["I"] * l["II"],
        "Class III": r["III"] * l["III"],
        "Class III, subdivision (one side only)": r["III"] * l["I"] + r["I"] * l["III"],
        "Class II on one side and Class III on the other": r["II"] * l["III"] + r["III"] * l["II"],
    }
    return must_be(question, max(p, key=p.get), p)


def check_division(question, rows):
    two = division_two(rows)
    return must_be(question, "Division 2" if two > 0.5 else "Division 1", {"Division 1": 1 - two, "Division 2": two})


def check_subdivision(question, rows):
    r, l = sides(rows)
    p = {
        "No: both sides are of one class": sum(r[c] * l[c] for c in r),
        "Subdivision right": (r["II"] + r["III"]) * l["I"],
        "Subdivision left": r["I"] * (l["II"] + l["III"]),
        "No: one side is Class II and the other Class III": r["II"] * l["III"] + r["III"] * l["II"],
    }
    return must_be(question, max(p, key=p.get), p)


def check_open_bite(question, rows):
    row = rows["open_bite_anterior"]
    shut = float(norm.cdf(0, row["value"], row["uncertainty"]))
    p = {"No, the front teeth overlap": shut, "Yes, the bite is open at the front": 1 - shut}
    return must_be(question, max(p, key=p.get), p)


def check_tooth_size(question, rows):
    row = rows["tooth_size_excess_anterior"]
    low, high = norm.cdf([-2, 2], row["value"], row["uncertainty"])
    p = {"They fit": high - low, "Too much in the upper arch": low, "Too much in the lower arch": 1 - high}
    return must_be(question, max(p, key=p.get), p)


def check_skeletal(question, points):
    to = lambda name: points[name] - points["N"]
    angle = lambda v: math.degrees(math.atan2(-v[1], -v[2]))
    anb = angle(to("A")) - angle(to("B"))
    wrong = [] if abs(anb - question["key"]["value"]) < DEG else [f"ANB {question['key']['value']}, by NumPy {anb}"]
    truth = "Class III" if anb < 0 else "Class II" if anb > 4 else "Class I"
    border = min(abs(anb), abs(anb - 4)) < 0.4
    return wrong + ([] if truth in credited(question) or border else [f"does not credit {truth}, ANB {anb:.2f}"])


def check_crossbite(question, rows):
    wrong = []
    for side in ("right", "left"):
        row = rows["posterior_crossbite_" + side]
        for pair, value in row["pairs"].items():
            tooth = int(str(pair)[:2])
            said, doubtful = tooth in question["key"]["teeth"], tooth in question["key"].get("doubtful", [])
            other_side = min(norm.cdf(0, value, row["uncertainty"]), norm.sf(0, value, row["uncertainty"]))
            if said != (value < 0):
                wrong.append(f"{tooth} lies {value:.3f} mm outside, key {question['key']['teeth']}")
            if abs(other_side - 0.1) > 0.02 and doubtful != (other_side > 0.1):
                wrong.append(f"{tooth}: {other_side:.3f} likely on the other side, doubtful is {doubtful}")
    return wrong


def check_number(question, rows):
    kind, prompt = question["kind"], question["prompt"]
    ids = {"overjet": "overjet", "overbite": "overbite", "midline": "midline_upper_lower"}
    if kind == "crowding":
        measure = "crowding_" + ("lower" if "lower" in prompt else "upper")
    elif kind == "spee":
        measure = "curve_of_spee_" + re.search(r"right|left", prompt).group()
    else:
        measure = ids[kind]
    off = abs(rows[measure]["value"] - question["key"]["value"])
    return [] if off < MM else [f"{measure} is off by {off}"]


def check_tooth(question, points):
    """The mark lies in the crown: nearer to the middle of that tooth's contacts, seen level, than to any other's of its jaw."""
    at, tooth = np.array(question["marked"]), question["key"]["teeth"][0]
    quadrants = "12" if tooth < 30 else "34"
    middles = {}
    for name in points:
        if name[0] in quadrants and name.endswith("contact_mesial"):
            ends = points[name], points[name[:2] + ".contact_distal"]
            middles[int(name[:2])] = np.linalg.norm((sum(ends) / 2 - at)[:2])
    nearest = min(middles, key=middles.get)
    tips = [points[n][2] for n in points if n[:2] == str(tooth) and n.split(".")[1] in ("cusp_tip", "buccal_cusp", "mesiobuccal_cusp", "incisal_edge_mid")]
    inside = all((at[2] > z) == (tooth < 30) for z in tips)
    return [] if nearest == tooth and inside else [f"{tooth} is asked, {nearest} is marked"]


def check_point(question, points):
    off = float(np.linalg.norm(points[question["landmark"]] - np.array(question["key"]["at"])))
    return [] if off < MM else [f"{question['landmark']} is off by {off}"]


def noted(note):
    """The shift that a note of a pure translation says: jaw, forward, up, left in mm."""
    jaw = "upper" if "Upper jaw" in note else "lower"
    number = lambda pattern: float(found.group(1)) if (found := re.search(pattern, note)) else 0.0
    forward = number(r"([\d.]+) mm forward") - number(r"([\d.]+) mm back")
    up = number(r"([\d.]+) mm up") - number(r"([\d.]+) mm down")
    left = number(r"midline ([\d.]+) mm to the patient's left") - number(r"midline ([\d.]+) mm to the patient's right")
    return jaw, np.array([left, -forward, up])


def moved(points, note):
    jaw, shift = noted(note)
    mine = lambda name: name[0] in ("12" if jaw == "upper" else "34") if name[0].isdigit() else jaw == "upper" and name.startswith("raphe")
    return {name: at + shift if mine(name) else at for name, at in points.items()}


def check_correction(question, points):
    wrong = []
    for choice, credit in zip(question["choices"], question["key"]["credits"]):
        rows = oracle.measure(moved(points, choice))
        quarters = max(abs(rows["molar_" + side]["quarters"]) for side in ("right", "left"))
        fine = quarters == 0 and 0.8 < rows["overjet"]["value"] < 4
        if fine != (credit == 1):
            wrong.append(f"{choice} leaves {quarters} quarters, overjet {rows['overjet']['value']:.2f}, credit {credit}")
        if credit < 1 and quarters < 2:
            wrong.append(f"{choice} is not clearly wrong")
    return wrong


def check_sheet(question, points):
    what = "overjet" if "overjet" in question["prompt"] else "overbite" if "overbite" in question["prompt"] else "midline_upper_lower"
    note = question["sheet"][question["sheet"].index(" jaw:") - 5 :]
    value = oracle.measure(moved(points, note), with_uncertainty=False)[what]["value"]
    off = abs(value - question["key"]["value"])
    return [] if off < MM else [f"{what} after the sheet is {value:.4f}, key {question['key']['value']:.4f}"]


BY_ROWS = {
    "molar": check_relation, "canine": check_relation, "class": check_class, "division": check_division,
    "subdivision": check_subdivision, "open_bite": check_open_bite, "tooth_size": check_tooth_size, "crossbite": check_crossbite,
    "overjet": check_number, "overbite": check_number, "midline": check_number, "crowding": check_number, "spee": check_number,
}  # fmt: skip
BY_POINTS = {
    "skeletal": check_skeletal, "notation": check_tooth, "landmark": check_point, "correction": check_correction, "sheet": check_sheet,
}  # fmt: skip


def check_question(question, points):
    kind = question["kind"]
    if kind in BY_ROWS:
        return BY_ROWS[kind](question, oracle.measure(points))
    return BY_POINTS[kind](question, points) if kind in BY_POINTS else []


def check_truth(program, count, seed):
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        report = json.loads(run(program, "practice", "--seed", seed, "--count", count, "--format", "json", "--landmarks", folder))
        for number, question in enumerate(report["questions"], 1):
            points = oracle.read_landmarks(Path(folder) / f"question-{number:02d}.json")
            where = f"{question['kind']}, seed {question['seed']}, difficulty {question['difficulty']}: "
            wrong += [where + words for words in check_question(question, points)]
    marked = sum(question["key"]["two_answers"] for question in report["questions"])
    print(f"{count} questions, {marked} marked as having two answers, {len(wrong)} disagreements")
    return wrong


GRID = np.linspace(-9, 9, 3601)  # logits; ten times finer than the program's


def widened(belief, days):
    """The belief on GRID after a pause: convolved with a normal distribution of variance 0.01 a day, at most 100 days."""
    return fftconvolve(belief, norm.pdf(GRID, 0, math.sqrt(0.01 * min(days, 100))), mode="same")


def posterior(answers):
    """Mean and standard deviation (logits) of the ability by numerical integration of the model in docs/practice.md."""
    belief, last = norm.pdf(GRID, 0, 1.5), None
    for a in answers:
        if last is not None and a["day"] > last:
            belief = widened(belief, a["day"] - last)
        last = a["day"]
        p = a["guess"] + (1 - a["guess"]) / (1 + np.exp(0.75 * (a["difficulty"] - 4) - GRID))
        belief = belief * p ** a["credit"] * (1 - p) ** (1 - a["credit"])
        belief /= simpson(belief, x=GRID)
    mean = simpson(GRID * belief, x=GRID)
    return mean, math.sqrt(simpson(GRID**2 * belief, x=GRID) - mean**2)


def paused(answers):
    days = [a["day"] for a in answers]
    return any(later > before for before, later in zip(days, days[1:]))


def check_levels(program, seed):
    """Answers a few questions on days ten apart, half of them rightly, and integrates the model again with SciPy."""
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "progress.json"
        for day in range(2):
            run(program, "practice", "--seed", seed, "--count", 8, "--kinds", "overjet,notation", "--progress", path, "--day", 20000 + 10 * day, given="2\n36\n3\n11\n2.5\n21\n1\n46\n")
        progress = json.loads(path.read_text())
        for kind, skill in progress["skills"].items():
            answers = [a for a in progress["answers"] if a["kind"] == kind]
            mean, sd = posterior(answers)
            if abs(mean - skill["level_logits"]) > 2e-3 or abs(sd - skill["sd_logits"]) > 2e-3:
                wrong.append(f"{kind}: level {skill['level_logits']:.4f} +- {skill['sd_logits']:.4f}, SciPy {mean:.4f} +- {sd:.4f}")
            if not paused(answers):
                wrong.append(f"{kind}: no pause was tried")
            print(f"{kind}: level {skill['level_logits']:.3f} +- {skill['sd_logits']:.3f} logits, SciPy {mean:.3f} +- {sd:.3f}")
    return wrong


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", required=True)
    parser.add_argument("--count", type=int, default=19)
    parser.add_argument("--seed", type=int, default=11)
    options = parser.parse_args()
    wrong = check_levels(options.program, options.seed) + check_truth(options.program, options.count, options.seed)
    for sentence in wrong[:40]:
        print(sentence)
    if wrong:
        sys.exit(f"{len(wrong)} disagreements")


if __name__ == "__main__":
    main()
