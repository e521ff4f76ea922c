#!/usr/bin/env python3
"""Drives the command line as a user does: answers, exit codes, bad input, nothing overwritten, nothing half-written.

usage: run_cli.py PATH_OF_INTERCUSP
"""
import base64
import csv
import hashlib
import json
import os
import pathlib
import random
import signal
import struct
import subprocess
import sys
import tempfile
import time
import unittest

PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
# The key that signs results of practice is the tests' own.
SETTINGS = tempfile.TemporaryDirectory()
os.environ["XDG_CONFIG_HOME"] = SETTINGS.name


def run(*args, code=0):
    """Runs the program; returns standard output. Fails unless the exit code is as asked."""
    done = subprocess.run([PROGRAM, *map(str, args)], capture_output=True, text=True, timeout=120)
    if done.returncode != code:
        raise AssertionError(f"intercusp {' '.join(map(str, args))}: exit {done.returncode}, expected {code}\n{done.stdout}{done.stderr}")
    return done.stdout if code == 0 else done.stdout + done.stderr


def values(case, *args):
    report = json.loads(run("measure", case, "--format", "json", *args))
    return {row["id"]: row for row in report["measures"]}


class CommandLine(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.dir = pathlib.Path(cls.folder.name)
        cls.case = cls.dir / "class3.glb"
        run("sample", "class3", "--triangles", 20000, "--truth", cls.dir / "truth.json", "-o", cls.case)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_every_command_answers_help(self):
        for command in ["new", "sample", "info", "measure", "contact", "face", "cut", "move", "close", "settle", "splint", "sheet", "compare", "export",
                        "practice", "view", "share", "fetch", "serve"]:
            self.assertIn("--help", run(command, "--help"))

    def test_a_face_is_recorded_and_a_plan_told_what_it_makes_of_it(self):
        """4 mm up: 6 mm of show become 6 - 4 + 0.2 * 4 to 6 - 4 + 0.4 * 4 (lip ratio: textbooks, from memory)."""
        recorded, planned = self.dir / "face.glb", self.dir / "face_planned.glb"
        run("face", self.case, "--set", "incisor_show_rest_mm=6", "--set", "midline_upper_mm=-1", "--set", "sex=woman", "-o", recorded)
        run("move", recorded, "--plan", "A", "--segment", "upper", "--up", 4, "--left", 1, "-o", planned)
        rows = {row["id"]: row for row in json.loads(run("face", planned, "--plan", "A", "--format", "json"))["face"]}
        self.assertEqual([round(x, 9) for x in rows["incisor_show_rest_mm"]["planned"]], [2.8, 3.6])
        self.assertAlmostEqual(rows["midline_upper_mm"]["planned"][0], 0, places=9)
        text = run("face", planned, "--plan", "A")
        self.assertIn("2.8 to 3.6 mm", text)
        self.assertIn("Vig & Brundo 1978", text)
        self.assertIn("not a medical device", text)
        self.assertEqual(next(csv.DictReader(run("face", planned, "--plan", "A", "--format", "csv").splitlines()))["recorded"], "6")
        cleared = self.dir / "face_cleared.glb"
        run("face", recorded, "--clear", "sex", "--clear", "incisor_show_rest_mm", "-o", cleared)
        self.assertNotIn("at rest", run("face", cleared))
        self.assertIn("lip_length_mm", run("face", self.case, "--set", "nose_mm=3", "-o", self.dir / "no.glb", code=2))
        self.assertIn("must lie between", run("face", self.case, "--set", "cant_deg=90", "-o", self.dir / "no.glb", code=2))
        self.assertIn("-o CASE.glb", run("face", self.case, "--set", "cant_deg=1", code=2))
        self.assertFalse((self.dir / "no.glb").exists())

    def test_what_was_achieved_is_held_against_the_plan(self):
        """Scanned afterwards: nothing was moved. Against a plan of 5 mm forward the lower jaw stands 5 mm too far forward."""
        planned, after = self.dir / "compare_planned.glb", self.dir / "compare_after.glb"
        run("move", self.case, "--plan", "A", "--segment", "upper", "--forward", 5, "-o", planned)
        files = {}
        for jaw in ("upper", "lower"):
            files[jaw] = self.dir / f"compare_{jaw}.stl"
            run("export", self.case, "--body", f"{jaw}_arch", "-o", files[jaw])
        run("export", self.case, "--landmarks", "-o", self.dir / "compare_all.json")
        marks = json.loads((self.dir / "compare_all.json").read_text())
        wanted = ("16.mesiobuccal_cusp", "26.mesiobuccal_cusp", "11.incisal_edge_mid",
                  "36.mesiobuccal_cusp", "46.mesiobuccal_cusp", "31.incisal_edge_mid")
        marks["landmarks"] = {name: marks["landmarks"][name] for name in wanted}
        (self.dir / "compare_some.json").write_text(json.dumps(marks))
        run("new", "--upper", files["upper"], "--lower", files["lower"], "--landmarks", self.dir / "compare_some.json", "-o", after)
        report = json.loads(run("compare", planned, after, "--format", "json"))
        self.assertEqual(report["laid_on"], "upper_arch")
        (lower,) = report["segments"]
        self.assertAlmostEqual(lower["difference"]["forward_mm"], 5, delta=0.01)
        for other in ("up_mm", "left_mm", "pitch_deg", "roll_deg", "yaw_deg"):
            self.assertAlmostEqual(lower["difference"][other], 0, delta=0.01, msg=other)
        overjet = next(row for row in report["measures"] if row["id"] == "overjet")
        self.assertAlmostEqual(overjet["achieved"], overjet["start"], delta=0.02)
        self.assertIn("off by", run("compare", planned, after))
        self.assertIn("lower stands farther", run("compare", planned, after, "--limit", "off:1", code=1))
        run("compare", planned, after, "--limit", "off:6")
        self.assertIn("A", run("compare", planned, after, "--plan", "B", code=2))
        self.assertIn("intercusp move", run("compare", self.case, after, code=2))
        self.assertIn("rite off:MM", run("compare", planned, after, "--limit", "depth:1", code=2))

    def test_two_plans_are_held_beside_each_other(self):
        plans = self.dir / "plans.glb"
        run("move", self.case, "--plan", "A", "--segment", "upper", "--forward", 1, "-o", plans)
        run("move", plans, "--plan", "B", "--segment", "upper", "--forward", 1.5, "--up", 0.5, "-o", plans, "--force")
        report = json.loads(run("compare", plans, "--plan", "A", "--with", "B", "--format", "json"))
        self.assertEqual(report["plans"], ["A", "B"])
        (upper,) = [row for row in report["segments"] if row["segment"] == "upper"]
        self.assertAlmostEqual(upper["difference"]["forward_mm"], 0.5, delta=1e-9)
        self.assertAlmostEqual(upper["difference"]["up_mm"], 0.5, delta=1e-9)
        for plan, key in (("A", "first"), ("B", "second")):
            alone = values(plans, "--plan", plan)
            for row in report["measures"]:
                self.assertAlmostEqual(row[key], alone[row["id"]]["value"], delta=1e-9, msg=row["id"])
        self.assertIn("0.5 mm forward", run("compare", plans, "--plan", "A", "--with", "B"))
        self.assertIn("same as itself", run("compare", plans, "--plan", "A", "--with", "A", code=2))
        self.assertIn("--plan", run("compare", plans, "--with", "A", code=2))
        self.assertIn("--with", run("compare", plans, code=2))

    def test_samples_are_listed(self):
        text = run("sample")
        for name in ["class1", "class2_div1", "class2_div2", "class3", "open_bite", "crossbite"]:
            self.assertIn(name, text)

    def test_measures_equal_the_truth(self):
        truth = json.loads((self.dir / "truth.json").read_text())
        measured = values(self.case)
        self.assertIn("overjet", truth["measures"])
        for name, value in truth["measures"].items():
            row, key = (name[:-len("_quarters")], "quarters") if name.endswith("_quarters") else (name, "value")
            self.assertAlmostEqual(measured[row][key], value, delta=1e-3, msg=name)
        for name, relation in truth["classes"].items():
            self.assertEqual(measured[name]["class"], relation, name)

    def test_an_old_case_opens_and_keeps_its_numbers(self):
        """samples/class3_advanced.json was written by the version that made the case."""
        samples = pathlib.Path(__file__).resolve().parents[2] / "samples"
        kept = json.loads((samples / "class3_advanced.json").read_text())
        for moment in ("rest", "planned"):
            now = values(samples / "class3_advanced.glb", "--plan", "A", "--at", moment)
            self.assertLessEqual(set(kept[moment]), set(now))  # later versions measure more
            for name, value in kept[moment].items():
                self.assertAlmostEqual(now[name]["value"], value, delta=1e-6, msg=f"{name} at {moment}")

    def test_a_movement_shows_in_the_bite(self):
        out = self.dir / "moved.glb"
        run("move", self.case, "--plan", "A", "--segment", "upper", "--forward", 5, "-o", out)
        before, after, rest = values(self.case), values(out, "--plan", "A"), values(out)
        # Pair by pair: the headline may be another pair's afterwards.
        for old, new in zip(before["overjet"]["pairs"], after["overjet"]["pairs"]):
            self.assertEqual(old["between"], new["between"])
            self.assertAlmostEqual(new["value"] - old["value"], 5.0, delta=1e-6)
        self.assertAlmostEqual(rest["overjet"]["value"], before["overjet"]["value"], delta=1e-9)

    def test_settle_finds_the_bite_again(self):
        made, away, back = (self.dir / name for name in ("made.glb", "away.glb", "back.glb"))
        run("sample", "class1", "--triangles", 40000, "-o", made)
        run("move", made, "--plan", "S", "--segment", "lower", "--forward=-3", "--left=2", "--yaw=4", "-o", away)
        self.assertIn("Class I", run("settle", away, "--plan", "S", "-o", back))
        at_rest, again = values(made), values(back, "--plan", "S")
        for key in ("overjet", "overbite", "midline_upper_lower", "molar_right", "canine_left"):
            self.assertAlmostEqual(again[key]["value"], at_rest[key]["value"], delta=0.12, msg=key)
        self.assertIn("cut the upper jaw first", run("settle", away, "--plan", "S", "--pieces", 2, "-o", away, code=2).lower())

    def test_settle_moves_the_upper_jaw_once_it_is_sawn_off(self):
        skull, sawn, away, back = (self.dir / name for name in ("skull1.glb", "sawn1.glb", "away1.glb", "back1.glb"))
        run("sample", "class1", "--bone", "--triangles", 20000, "-o", skull)
        refused = run("settle", skull, "--plan", "S", "--moving", "upper", "-o", back, code=2)
        self.assertIn("still joined to the skull", refused)
        run("cut", skull, "--plan", "S", "--kind", "lefort1", "--level", 7, "-o", sawn)
        run("move", sawn, "--plan", "S", "--segment", "maxilla", "--forward", 3, "--left", 1, "-o", away)
        report = json.loads(run("settle", away, "--plan", "S", "--moving", "upper", "--format", "json", "-o", back))
        self.assertEqual(report["moving"], "maxilla")
        at_rest, again = values(skull), values(back, "--plan", "S")
        for key in ("overjet", "midline_upper_lower", "molar_right"):
            self.assertAlmostEqual(again[key]["value"], at_rest[key]["value"], delta=0.15, msg=key)

    def test_settle_seats_an_upper_jaw_in_pieces(self):
        made, parted, away, back, again = (self.dir / name for name in ("whole2.glb", "parted.glb", "away2.glb", "back2.glb", "again2.glb"))
        run("sample", "class1", "--triangles", 40000, "-o", made)
        whole = run("settle", made, "--plan", "S", "--pieces", 2, "-o", back, code=2)
        self.assertIn("intercusp cut CASE --plan S --kind pieces --pieces 2", whole)
        run("cut", made, "--plan", "S", "--kind", "pieces", "--pieces", 2, "-o", parted)
        self.assertIn("in 2 pieces", run("settle", parted, "--plan", "S", "--pieces", 3, "-o", back, code=2))
        self.assertIn("the lower jaw moves as one", run("settle", parted, "--plan", "S", "--pieces", 2, "--moving", "lower", "-o", back, code=2))
        self.assertFalse(back.exists())
        run("move", parted, "--plan", "S", "--segment", "maxilla_right", "--forward=-1.5", "--left=-2", "--yaw=3", "-o", away)
        report = json.loads(run("settle", away, "--plan", "S", "--moving", "upper", "--format", "json", "-o", back))
        self.assertEqual((report["moving"], report["pieces"]), ("maxilla", 2))
        best = report["solutions"][0]
        self.assertEqual([piece["segment"] for piece in best["pieces"]], ["maxilla_right", "maxilla_left"])
        self.assertEqual(best["cuts"][0]["teeth"], [11, 21])
        self.assertLess(abs(best["expansion"]["molars_mm"]), 0.2)
        for part in ("seat", "relation", "expansion", "steps", "neighbours", "apart", "total"):
            self.assertIn(part, best["cost"])
        at_rest, seated = values(made), values(back, "--plan", "S")
        for key in ("overjet", "midline_upper_lower", "molar_right", "molar_left", "intermolar_upper"):
            self.assertAlmostEqual(seated[key]["value"], at_rest[key]["value"], delta=0.25, msg=key)
        text = run("settle", away, "--plan", "S", "--pieces", 2, "--molar-expansion=-1..0.5", "--step", 1, "-o", again)
        self.assertIn("of the upper arch in 2 pieces", text)
        self.assertIn("cut 11|21", text)
        self.assertIn("MIN..MAX", run("settle", away, "--plan", "S", "--molar-expansion", "wide", "-o", self.dir / "no.glb", code=2))
        one = json.loads(run("settle", away, "--plan", "S", "--moving", "upper", "--pieces", 1, "--format", "json", "-o", again, "--force"))
        self.assertEqual(one["pieces"], 1)
        self.assertNotIn("cuts", one["solutions"][0])

    def test_a_splint_is_a_closed_solid_with_a_note(self):
        plan, out, note = self.dir / "splint_plan.glb", self.dir / "final.stl", self.dir / "final.txt"
        run("move", self.case, "--plan", "A", "--segment", "upper", "--forward", 5, "--up", 1.5, "-o", plan)
        done = subprocess.run([PROGRAM, "splint", plan, "--plan", "A", "--stage", "final", "--step", "0.35", "-o", out],
                              capture_output=True, text=True, timeout=120)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("checked by nobody yet", done.stderr)
        self.assertEqual(open_edges(out), 0)
        text = note.read_text()
        for word in ["nobody yet; not for use on a patient", "medical device", "printed models", "sterilisation", "plan        A",
                     "digest", "Raised on its outer rim: ", " A FINAL "]:
            self.assertIn(word, text)
        self.assertIn("exists", run("splint", plan, "--plan", "A", "-o", out, code=2))  # nothing is overwritten
        checked = run("splint", plan, "--plan", "A", "--stage", "intermediate", "--step", 0.6, "--checked-by", "A. Tester",
                      "--hole", 16, 26, "--relief", "13:1", "--zone-room", 1, "--no-text", "-o", out, "--force")
        self.assertEqual(checked.count("Seats fully without touching"), 2)
        self.assertIn("Nothing is raised on it", checked)
        self.assertIn("1.00 mm more room under painted zones", checked)
        self.assertIn("checked by: A. Tester", checked)
        self.assertIn("checked by: A. Tester", note.read_text())

    def test_a_thin_splint_is_mended_and_its_path_of_seating_chosen(self):
        plan, out = self.dir / "thin_plan.glb", self.dir / "thin.stl"
        run("move", self.case, "--plan", "A", "--segment", "upper", "--forward", 4, "--up", 1, "-o", plan)
        make = lambda *more: json.loads(run("splint", plan, "--plan", "A", "--step", 0.35, "--opening", 1.5, "--format", "json",
                                            *more, "-o", out, "--force"))
        thin, mended = make(), make("--mend", "--upper-path", 6, -2)
        self.assertTrue(thin["thin"])
        self.assertIn(thin["thin"][0]["lies"], ["between the arches", "a wall of the rim", "over the tips"])
        self.assertEqual(thin["mended"], [])
        self.assertEqual(mended["thin"], [])
        self.assertTrue(all(change["to_mm"] > change["from_mm"] for change in mended["mended"]))
        path = mended["upper"]["path"]
        self.assertEqual((path["chosen"], path["forward_deg"], path["left_deg"]), ("given", 6, -2))
        self.assertEqual(mended["lower"]["path"]["chosen"], "found")
        self.assertIn("Mended: ", (self.dir / "thin.txt").read_text())
        self.assertIn("nearest possible value is 30", run("splint", plan, "--plan", "A", "--upper-path", 40, 0, "-o", out, "--force",
                                                           code=2))

    def test_splints_that_cannot_be_are_refused_with_the_nearest_value(self):
        plan, out = self.dir / "through.glb", self.dir / "through.stl"
        run("move", self.case, "--plan", "A", "--segment", "upper", "--up", -4, "-o", plan)
        message = run("splint", plan, "--plan", "A", "-o", out, code=2)
        self.assertIn("pass through each other", message)
        nearest = message.split("(opening ")[1].split(")")[0]
        self.assertFalse(out.exists())
        run("splint", plan, "--plan", "A", "--opening", nearest, "--step", 0.6, "-o", out)
        self.assertIn("least thickness", run("splint", plan, "--plan", "A", "--opening", nearest, "--least-thickness", 2, "-o",
                                             self.dir / "no.stl", code=2))
        self.assertIn("nearest possible value is 0.5", run("splint", plan, "--plan", "A", "--clearance", 2, "-o",
                                                           self.dir / "no.stl", code=2))
        self.assertIn(".stl or .3mf", run("splint", plan, "--plan", "A", "-o", self.dir / "no.obj", code=2))
        self.assertIn("no plan named B", run("splint", plan, "--plan", "B", "-o", self.dir / "no.stl", code=2))

    def test_a_steadier_hand_gives_surer_numbers(self):
        usual, steady = values(self.case), values(self.case, "--landmark-sd", 0.1)
        for key in ("overjet", "molar_right", "crowding_upper"):
            self.assertAlmostEqual(steady[key]["uncertainty"] * 3, usual[key]["uncertainty"], delta=1e-6, msg=key)
        self.assertGreaterEqual(steady["molar_right"]["probability"], usual["molar_right"]["probability"])
        self.assertLessEqual(sum(o["probability"] for o in usual["canine_left"]["odds"]), 1 + 1e-9)
        self.assertEqual(usual["angle_class"]["finding"], "Class III")
        self.assertEqual(usual["angle_class"]["class"], "III")

    def test_targets_are_met(self):
        out = self.dir / "target.glb"
        run("move", self.case, "--plan", "A", "--segment", "upper", "--target", "11.incisal_edge_mid:forward=4,up=1.5,left=0",
            "16.mesiobuccal_cusp:up=3", "26.mesiobuccal_cusp:up=1", "-o", out)
        run("export", out, "--plan", "A", "--landmarks", "-o", self.dir / "t1.json")
        run("export", out, "--landmarks", "-o", self.dir / "t0.json")
        t1, t0 = (json.loads((self.dir / n).read_text())["landmarks"] for n in ("t1.json", "t0.json"))
        self.assertAlmostEqual(t0["11.incisal_edge_mid"][1] - t1["11.incisal_edge_mid"][1], 4, delta=1e-5)
        self.assertAlmostEqual(t1["16.mesiobuccal_cusp"][2] - t0["16.mesiobuccal_cusp"][2], 3, delta=1e-5)
        self.assertAlmostEqual(t1["26.mesiobuccal_cusp"][2] - t0["26.mesiobuccal_cusp"][2], 1, delta=1e-5)

    def test_a_moved_case_measures_the_same_after_export_and_import(self):
        moved = self.dir / "m.glb"
        run("move", self.case, "--plan", "A", "--segment", "lower", "--forward", -3, "--pitch", 2, "--yaw", 1.5, "-o", moved)
        for body in ("upper_arch", "lower_arch"):
            run("export", moved, "--plan", "A", "--body", body, "-o", self.dir / f"{body}.stl")
        run("export", moved, "--plan", "A", "--landmarks", "-o", self.dir / "lm.json")
        again = self.dir / "again.glb"
        run("new", "--upper", self.dir / "upper_arch.stl", "--lower", self.dir / "lower_arch.stl", "--landmarks",
            self.dir / "lm.json", "-o", again)
        first, second = values(moved, "--plan", "A"), values(again)
        self.assertEqual(set(first), set(second))
        for name in first:
            # The export rounds vertices to single precision: the contact of two scans feels it, their landmarks do not.
            from_scans = "contact" in name or name.startswith("open_bite_")
            self.assertAlmostEqual(first[name]["value"], second[name]["value"], delta=1e-3 if from_scans else 1e-6, msg=name)

    def test_scanner_space_comes_back(self):
        run("export", self.case, "--body", "upper_arch", "-o", self.dir / "u.stl")
        run("export", self.case, "--body", "lower_arch", "-o", self.dir / "l.stl")
        text = run_export_landmarks(self, self.case)
        shifted = {k: [v[0] + 40, v[1] - 15, v[2] + 9] for k, v in text.items()}
        (self.dir / "s.json").write_text(json.dumps({"units": "mm", "landmarks": shifted}))
        for name in ("u", "l"):
            shift_stl(self.dir / f"{name}.stl", self.dir / f"{name}s.stl", (40, -15, 9))
        case = self.dir / "shifted.glb"
        run("new", "--upper", self.dir / "us.stl", "--lower", self.dir / "ls.stl", "--landmarks", self.dir / "s.json", "-o", case)
        run("export", case, "--landmarks", "--frame", "scanner", "-o", self.dir / "back.json")
        back = json.loads((self.dir / "back.json").read_text())["landmarks"]
        for name, at in shifted.items():
            for k in range(3):
                self.assertAlmostEqual(back[name][k], at[k], delta=1e-9)
        run("export", case, "--landmarks", "-o", self.dir / "patient.json")
        patient = json.loads((self.dir / "patient.json").read_text())["landmarks"]
        mid = [(a + b) / 2 for a, b in zip(patient["11.incisal_edge_mid"], patient["21.incisal_edge_mid"])]
        for k in range(3):
            self.assertAlmostEqual(mid[k], 0, delta=1e-9)

    def test_bone_from_ct_is_judged_and_scans_are_not_moved_onto_a_bone_without_teeth(self):
        skull = self.dir / "skull.glb"
        run("sample", "class3", "--triangles", 20000, "--bone", "-o", skull)
        names = [body["name"] for body in json.loads(run("info", skull, "--format", "json"))["bodies"]]
        self.assertEqual(names, ["upper_arch", "lower_arch", "upper_bone", "lower_bone", "upper_roots", "lower_roots"])
        for body in names[:4]:
            run("export", skull, "--body", body, "-o", self.dir / f"skull_{body}.stl")
        run("export", skull, "--landmarks", "-o", self.dir / "skull.json")
        out = self.dir / "from_ct.glb"
        done = subprocess.run([PROGRAM, "new", "--upper", self.dir / "skull_upper_arch.stl", "--lower", self.dir / "skull_lower_arch.stl",
                               "--bone", f"upper_bone={self.dir / 'skull_upper_bone.stl'}", f"lower_bone={self.dir / 'skull_lower_bone.stl'}",
                               "--landmarks", self.dir / "skull.json", "-o", out], capture_output=True, text=True, timeout=120)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("upper_bone: The surface is closed", done.stderr)
        self.assertIn("upper_arch was left where it was given", done.stderr)
        first, second = values(skull), values(out)
        for name in ("overjet", "midline_upper_face"):
            self.assertAlmostEqual(first[name]["value"], second[name]["value"], delta=1e-6, msg=name)

    def test_limits_decide_the_exit_code(self):
        run("measure", self.case, "--limit", "overjet:-10..0")
        self.assertIn("overjet", run("measure", self.case, "--limit", "overjet:1..4", code=1))
        run("measure", self.case, "--limit", "overjet", code=2)
        run("measure", self.case, "--limit", "nonsense:1..2", code=2)
        deep = self.dir / "deep.glb"
        run("move", self.case, "--plan", "D", "--segment", "lower", "--up", 2, "-o", deep)
        run("contact", deep, "--plan", "D", "--limit", "depth:20")
        self.assertIn("deepest overlap", run("contact", deep, "--plan", "D", "--limit", "depth:0.5", code=1))

    def test_contact_report(self):
        deep = self.dir / "deep2.glb"
        run("move", self.case, "--plan", "D", "--segment", "lower", "--up", 1, "-o", deep)
        report = json.loads(run("contact", deep, "--plan", "D", "--format", "json", "--map", self.dir / "map.ply"))
        pair = report["pairs"][0]
        self.assertEqual(sorted(pair["between"]), ["lower_arch", "upper_arch"])
        self.assertEqual(pair["minimum_distance_mm"], 0)
        self.assertGreater(pair["regions"][0]["deepest_mm"], 0.5)
        self.assertEqual(pair["regions"], sorted(pair["regions"], key=lambda r: -r["deepest_mm"]))
        self.assertTrue((self.dir / "map.ply").read_bytes().startswith(b"ply\n"))
        turned = json.loads(run("contact", deep, "--plan", "D", "--format", "json", "--between", *reversed(pair["between"])))["pairs"][0]
        self.assertAlmostEqual(turned["regions"][0]["deepest_mm"], pair["regions"][0]["deepest_mm"], delta=1e-9)
        for a, b in zip(turned["regions"][0]["direction"], pair["regions"][0]["direction"]):
            self.assertAlmostEqual(a, -b, delta=1e-9)

    def test_nothing_is_overwritten_without_force(self):
        out = self.dir / "keep.glb"
        out.write_bytes(b"precious")
        self.assertIn("--force", run("sample", "class1", "--triangles", 20000, "-o", out, code=2))
        self.assertEqual(out.read_bytes(), b"precious")
        run("sample", "class1", "--triangles", 20000, "-o", out, "--force")
        self.assertEqual(out.read_bytes()[:4], b"glTF")

    def test_bad_input_is_refused_with_words(self):
        bad = self.dir / "bad.stl"
        faults = {"empty": b"", "picture": b"\x89PNG\r\n\x1a\n" + bytes(200), "lying": bytes(80) + struct.pack("<I", 4_000_000_000) + bytes(50),
                  "not a number": bytes(80) + struct.pack("<I", 1) + struct.pack("<12f", *([0] * 3 + [float("nan")] * 9)) + bytes(2)}
        run("export", self.case, "--body", "lower_arch", "-o", self.dir / "ok.stl", "--force")
        for name, data in faults.items():
            bad.write_bytes(data)
            text = run("new", "--upper", bad, "--lower", self.dir / "ok.stl", "-o", self.dir / "no.glb", code=2)
            self.assertIn("bad.stl", text, name)
            self.assertFalse((self.dir / "no.glb").exists())
        broken = self.dir / "broken.glb"
        broken.write_bytes(self.case.read_bytes()[:5000])
        run("measure", broken, code=2)
        run("measure", self.dir / "missing.glb", code=2)
        run("move", self.case, "--plan", "A", "--segment", "chin", "--up", 1, "-o", self.dir / "n.glb", code=2)
        run("move", self.case, "--plan", "A", "--segment", "upper", "--up", "high", "-o", self.dir / "n.glb", code=2)
        run("measure", self.case, "--plan", "none", code=2)
        run("nonsense", code=2)
        run(code=2)

    def test_a_size_that_cannot_be_millimetres_is_questioned(self):
        run("export", self.case, "--body", "upper_arch", "-o", self.dir / "u1.stl", "--force")
        run("export", self.case, "--body", "lower_arch", "-o", self.dir / "l1.stl", "--force")
        for name in ("u1", "l1"):
            shift_stl(self.dir / f"{name}.stl", self.dir / f"{name}m.stl", (0, 0, 0), 0.001)
        args = ("new", "--upper", self.dir / "u1m.stl", "--lower", self.dir / "l1m.stl", "-o", self.dir / "units.glb")
        self.assertIn("inch", run(*args, code=2))
        run(*args, "--units", "m")
        size = json.loads(run("info", self.dir / "units.glb", "--format", "json"))["bodies"][0]["size_mm"]
        self.assertGreater(max(size), 40)

    def test_missing_landmarks_are_named(self):
        landmarks = run_export_landmarks(self, self.case)
        del landmarks["46.buccal_groove"]
        (self.dir / "part.json").write_text(json.dumps({"units": "mm", "landmarks": landmarks}))
        for body in ("upper_arch", "lower_arch"):
            run("export", self.case, "--body", body, "-o", self.dir / f"p_{body}.stl", "--force")
        out = self.dir / "part.glb"
        run("new", "--upper", self.dir / "p_upper_arch.stl", "--lower", self.dir / "p_lower_arch.stl", "--landmarks", self.dir / "part.json", "-o", out)
        report = json.loads(run("measure", out, "--format", "json"))
        missing = {row["id"]: row["needs"] for row in report["not_measurable"]}
        self.assertIn("46.buccal_groove", missing["molar_right"])
        self.assertIn("molar_left", {row["id"] for row in report["measures"]})

    def test_names_in_scan_files_are_not_carried(self):
        run("export", self.case, "--body", "upper_arch", "-o", self.dir / "n.stl", "--force")
        run("export", self.case, "--body", "lower_arch", "-o", self.dir / "n2.stl", "--force")
        data = bytearray((self.dir / "n.stl").read_bytes())
        data[:20] = b"Sample Person 030798"
        named = self.dir / "Sample_Person.stl"
        named.write_bytes(data)
        out = self.dir / "anon.glb"
        run("new", "--upper", named, "--lower", self.dir / "n2.stl", "-o", out)
        self.assertNotIn(b"Person", out.read_bytes())
        warned = subprocess.run([PROGRAM, "new", "--upper", named, "--lower", self.dir / "n2.stl", "--id", "Sample Person", "-o",
                                 self.dir / "warn.glb"], capture_output=True, text=True)
        self.assertEqual(warned.returncode, 0)
        self.assertIn("looks like a name", warned.stderr)

    def test_killed_while_saving_the_old_file_is_whole(self):
        out = self.dir / "killed.glb"
        run("sample", "class1", "--triangles", 20000, "-o", out)
        versions = {out.read_bytes()}
        moved = self.dir / "moved_once.glb"
        run("move", out, "--plan", "A", "--segment", "upper", "--up", 1, "-o", moved)
        versions.add(moved.read_bytes())
        chance = random.Random(7)
        for _ in range(25):
            original = min(versions, key=len)
            out.write_bytes(original)
            process = subprocess.Popen([PROGRAM, "move", str(out), "--plan", "A", "--segment", "upper", "--up", "1", "-o", str(out), "--force"])
            time.sleep(chance.uniform(0.0, 0.08))
            process.send_signal(signal.SIGKILL)
            process.wait()
            self.assertIn(out.read_bytes(), versions)
            for rest in self.dir.glob("killed.glb.part-*"):
                os.unlink(rest)


class BoneOnTheCommandLine(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.dir = pathlib.Path(cls.folder.name)
        cls.case = cls.dir / "bone.glb"
        run("sample", "class3", "--bone", "--triangles", 20000, "-o", cls.case)
        cls.cut = cls.dir / "cut.glb"
        run("cut", cls.case, "--plan", "A", "--kind", "lefort1", "-o", cls.cut)
        for kind in ("split_right", "split_left", "chin"):
            run("cut", cls.cut, "--plan", "A", "--kind", kind, "-o", cls.cut, "--force")

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def landmarks(self, case, *args):
        path = self.dir / "landmarks.json"
        run("export", case, "--landmarks", "-o", path, "--force", *args)
        return json.loads(path.read_text())["landmarks"]

    def test_the_upper_jaw_moves_only_after_its_cut(self):
        message = run("move", self.case, "--plan", "A", "--segment", "maxilla", "--forward", 5, "-o", self.dir / "x.glb", code=2)
        self.assertIn("Cut first", message)
        out = self.dir / "forward.glb"
        run("move", self.cut, "--plan", "A", "--segment", "maxilla", "--forward", 5, "-o", out)
        before, after = self.landmarks(out), self.landmarks(out, "--plan", "A")
        self.assertAlmostEqual(before["11.incisal_edge_mid"][1] - after["11.incisal_edge_mid"][1], 5, delta=1e-6)
        self.assertEqual(before["46.buccal_groove"], after["46.buccal_groove"])
        overjet = {name: values(out, *args)["overjet"]["value"] for name, args in (("before", ()), ("after", ("--plan", "A")))}
        self.assertGreater(overjet["after"], overjet["before"] + 4)

    def test_pieces_are_listed_and_written_closed(self):
        info = json.loads(run("info", self.cut, "--format", "json"))
        plan = info["plans"][0]
        self.assertEqual(plan["cuts"], ["lefort1", "split_right", "split_left", "chin"])
        segments = {body["name"]: body["segment"] for body in plan["bodies"]}
        for name in ("maxilla", "mandible", "ramus_right", "ramus_left", "chin"):
            self.assertEqual(segments[name], name)
            stl = self.dir / f"{name}.stl"
            run("export", self.cut, "--plan", "A", "--body", name, "-o", stl)
            edges = open_edges(stl)
            self.assertEqual(edges, 0, name)
        self.assertEqual(segments["upper_arch"], "maxilla")
        self.assertEqual({body["name"] for body in info["bodies"]},
                         {"upper_arch", "lower_arch", "upper_bone", "lower_bone", "upper_roots", "lower_roots"})

    def test_distances_and_limits_of_a_cut(self):
        out = self.dir / "limit.glb"
        report = json.loads(run("cut", self.case, "--plan", "B", "--kind", "lefort1", "--level", 7, "--saw", 1, "--format", "json", "-o", out))
        nearest = report["clearances"][0]
        self.assertAlmostEqual(nearest["distance_mm"], 7, delta=1e-5)  # a sample's vertices stand on a grid of 2^-16 mm
        # The canine has the longest root (Wheeler, from memory): it is what a Le Fort I meets first.
        self.assertIn(nearest["landmark"].split(".")[0], ("13", "23"))
        apices = [c["distance_mm"] for c in report["clearances"] if c["landmark"].endswith(".apex")]
        self.assertAlmostEqual(min(apices), 7, delta=0.05)
        self.assertEqual(report["settings"]["saw_mm"], 1)
        message = run("cut", self.case, "--plan", "B", "--kind", "lefort1", "--level", 4, "--limit", "apex:5", "-o", out, "--force", code=1)
        self.assertIn("less than 5.00 mm", message)

    def test_cuts_that_cannot_be_made_leave_no_file(self):
        for args, words in ((("--kind", "chin", "--level", 19), "misses"), (("--kind", "lefort1", "--level", -3), "meets a root"),
                            (("--kind", "pieces"), "Cut first"), (("--kind", "chin", "--set", "colour=3"), "no setting"),
                            (("--kind", "chin", "--level", 5, 6), "one value")):
            out = self.dir / "none.glb"
            self.assertIn(words, run("cut", self.case, "--plan", "A", *args, "-o", out, code=2))
            self.assertFalse(out.exists())

    def test_several_targets_and_the_table(self):
        out = self.dir / "targets.glb"
        report = json.loads(run("move", self.cut, "--plan", "A", "--segment", "maxilla", "--target", "11.incisal_edge_mid:forward=5,up=2,left=-1.5",
                                "16.mesiobuccal_cusp:up=3", "26.mesiobuccal_cusp:up=1", "--table", "--format", "json", "-o", out))
        rows = {row["landmark"]: row for row in report["landmarks"]}
        self.assertAlmostEqual(rows["11.incisal_edge_mid"]["forward_mm"], 5, delta=1e-6)
        self.assertAlmostEqual(rows["16.mesiobuccal_cusp"]["up_mm"], 3, delta=1e-6)
        self.assertAlmostEqual(rows["26.mesiobuccal_cusp"]["up_mm"], 1, delta=1e-6)
        self.assertEqual(rows["condyle_centre_left"]["forward_mm"], 0)
        bad = ("--target", "11.incisal_edge_mid:up=1,forward=1", "21.incisal_edge_mid:up=3,forward=1", "--pitch", 0, "--roll", 0, "--yaw", 0)
        self.assertIn("--fit", run("move", self.cut, "--plan", "A", "--segment", "maxilla", *bad, "-o", out, "--force", code=2))
        fitted = json.loads(run("move", self.cut, "--plan", "A", "--segment", "maxilla", *bad, "--fit", "--format", "json", "-o", out, "--force"))
        self.assertAlmostEqual(fitted["movement"]["up_mm"], 2, delta=1e-6)
        self.assertIn("does not move with", run("move", self.cut, "--plan", "A", "--segment", "chin", "--target", "ANS:up=1", "-o", out, "--force", code=2))

    def test_closing_brings_the_teeth_together(self):
        up, out = self.dir / "up.glb", self.dir / "closed.glb"
        run("move", self.cut, "--plan", "A", "--segment", "maxilla", "--up", 3, "-o", up)
        report = json.loads(run("close", up, "--plan", "A", "--format", "json", "-o", out))
        self.assertLess(report["open_deg"], -1)
        self.assertEqual(len(report["first_contact"][0]["teeth"]), 2)
        self.assertEqual(len(report["other_axes"]), 3)
        self.assertEqual({row["side"] for row in report["condyles"]}, {"right", "left"})
        contact = json.loads(run("contact", out, "--plan", "A", "--between", "upper_arch", "lower_arch", "--format", "json"))
        self.assertLess(contact["pairs"][0]["minimum_distance_mm"], 0.0011)
        self.assertEqual(contact["pairs"][0]["regions"], [])
        held = json.loads(run("close", up, "--plan", "A", "--until", "splint:2", "--format", "json", "-o", out, "--force"))
        self.assertGreater(held["open_deg"], report["open_deg"])
        self.assertIn("teeth meet before", run("close", up, "--plan", "A", "--until", "vertical:-5", "-o", out, "--force", code=2))
        self.assertIn("--until", run("close", up, "--plan", "A", "--until", "soon", "-o", out, "--force", code=2))

    def test_the_first_jaw_gives_the_intermediate_position(self):
        out = self.dir / "staged.glb"
        run("move", self.cut, "--plan", "A", "--segment", "maxilla", "--up", 3, "-o", out)
        run("move", out, "--plan", "A", "--segment", "mandible", "--forward", -4, "--first", "lower", "-o", out, "--force")
        rest, between = self.landmarks(out), self.landmarks(out, "--plan", "A", "--at", "intermediate")
        self.assertEqual(rest["ANS"], between["ANS"])
        self.assertAlmostEqual(between["B"][1] - rest["B"][1], 4, delta=1e-6)

    def regions(self, case, *args):
        report = json.loads(run("contact", case, "--plan", "A", "--between", "maxilla", "upper_bone_above", "--format", "json", *args))
        return report["pairs"][0]

    def test_bone_in_the_way_is_named_and_the_wedge_is_told_apart(self):
        out = self.dir / "impacted.glb"
        run("move", self.cut, "--plan", "A", "--segment", "maxilla", "--forward", 5, "--up", 3, "-o", out)
        pair = self.regions(out)
        contact = " ".join(r["site"] for r in pair["regions"] if not r["planned"])
        for words in ("septum", "right lateral nasal wall", "left lateral nasal wall", "palatine bone"):
            self.assertIn(words, contact)
        wedge = " ".join(r["site"] for r in pair["regions"] if r["planned"])
        self.assertIn("zygomatic buttress", wedge)
        self.assertAlmostEqual(sum(r["volume_mm3"] for r in pair["regions"]), pair["overlap_volume_mm3"], delta=1e-3)
        text = run("contact", out, "--plan", "A", "--between", "maxilla", "upper_bone_above")
        self.assertIn("the wedge along the cut", text)
        self.assertIn("descending palatine artery", text)
        back = self.dir / "back.glb"
        run("move", self.cut, "--plan", "A", "--segment", "maxilla", "--forward", -4, "-o", back)
        sites = [r["site"] for r in self.regions(back)["regions"] if not r["planned"]]
        for side in ("right", "left"):
            self.assertIn(f"{side} tuberosity against the pterygoid plate", sites)

    def test_the_sheet_is_one_page_whose_text_equals_the_case(self):
        out, pdf = self.dir / "both.glb", self.dir / "sheet.pdf"
        run("move", self.cut, "--plan", "A", "--segment", "maxilla", "--forward", 4, "--up", 2, "-o", out)
        run("move", out, "--plan", "A", "--segment", "mandible", "--forward", -3, "-o", out, "--force")
        sheet = json.loads(run("sheet", out, "--plan", "A", "--checked-by", "Dr. A. Checker", "--date", "2026-02-21", "--format", "json", "-o", pdf))
        text = pdf_text(pdf)
        self.assertEqual(pdf_pages(pdf), 1)
        for row in (row for table in sheet["tables"] for row in table["rows"]):
            for cell in row:
                self.assertIn("".join(cell.split()), "".join(text.split()), cell)
        self.assertIn("Checked by: Dr. A. Checker", text)
        self.assertIn(sheet["digest"], text)
        measured = {at: values(out, "--plan", "A", "--at", at) for at in ("rest", "intermediate", "planned")}
        occlusion = {row[0]: row[1:] for row in next(t for t in sheet["tables"] if t["title"].startswith("Occlusion"))["rows"]}
        for cell, at in zip(occlusion["Overjet"], ("rest", "intermediate", "planned")):
            self.assertTrue(cell.startswith(f"{abs(measured[at]['overjet']['value']):.2f}"), cell)
        vertical = next(t for t in sheet["tables"] if t["title"].startswith("The vertical"))["rows"][0]
        rest, planned = self.landmarks(out), self.landmarks(out, "--plan", "A")
        for cell, points in ((vertical[1], rest), (vertical[2], planned)):
            edge = (points["11.incisal_edge_mid"][2] + points["21.incisal_edge_mid"][2]) / 2
            self.assertEqual(cell, f"{points['N'][2] - edge:.2f}")
        again = self.dir / "again.pdf"
        printed = run("sheet", out, "--plan", "A", "--checked-by", "Dr. A. Checker", "--date", "2026-02-21", "-o", again)
        # On the terminal as on paper: who checked it, who agreed, what to watch, what moves, how it is staged, then tables.
        order = ["Checked by: Dr. A. Checker", sheet["agreed"][0], "Watch first", *sheet["warnings"], *sheet["movements"], "Staging. " + sheet["staging"], "Movement of points"]
        places = [printed.find(words) for words in order]
        self.assertNotIn(-1, places, order[places.index(-1)] if -1 in places else "")
        self.assertEqual(places, sorted(places))
        self.assertEqual(pdf.read_bytes(), again.read_bytes())

    def test_a_sheet_that_nobody_checked_says_so(self):
        pdf = self.dir / "bare.pdf"
        done = subprocess.run([PROGRAM, "sheet", self.cut, "--plan", "A", "-o", pdf], capture_output=True, text=True, timeout=120)
        self.assertEqual(done.returncode, 0)
        self.assertIn("--checked-by", done.stderr)
        self.assertIn("Checked by: nobody yet", pdf_text(pdf))
        self.assertIn("--force", run("sheet", self.cut, "--plan", "A", "-o", pdf, code=2))
        self.assertIn("no plan named", run("sheet", self.cut, "--plan", "Z", "-o", self.dir / "z.pdf", code=2))
        self.assertIn("--date", run("sheet", self.cut, "--plan", "A", "--date", "soon", "-o", self.dir / "z.pdf", code=2))
        self.assertFalse((self.dir / "z.pdf").exists())

    def test_the_class3_sample_from_records_to_sheet(self):
        script = pathlib.Path(__file__).resolve().parents[2] / "samples" / "class3_to_sheet.sh"
        done = subprocess.run(["bash", script, PROGRAM, self.dir / "way", "20000"], capture_output=True, text=True, timeout=120)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        text = pdf_text(self.dir / "way" / "class3-sheet.pdf")
        # What to watch stands above everything else, what runs into a vessel or nerve at its head.
        watch = [" ".join(text.split()).index(words) for words in ("Watch first", "MEETS the right descending palatine", "CONTACT: left lateral nasal wall", "Upper jaw: 5.0 mm forward")]
        self.assertEqual(watch, sorted(watch))
        for words in ("Upper jaw: 5.0 mm forward", "Lower jaw:", "Upper jaw first", "CONTACT", "planned", "Checked by: nobody yet"):
            self.assertIn(words, text)

    def test_scans_alone_have_a_sheet_too(self):
        case, pdf = self.dir / "scans.glb", self.dir / "scans.pdf"
        run("sample", "class1", "--triangles", 20000, "-o", case)
        run("move", case, "--plan", "A", "--segment", "upper", "--forward", 1, "-o", case, "--force")
        run("sheet", case, "--plan", "A", "-o", pdf)
        self.assertIn("holds no bone", pdf_text(pdf))


def pdf_text(path):
    return subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, text=True, check=True, timeout=60).stdout


def pdf_pages(path):
    info = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True, timeout=60).stdout
    return int(next(line.split()[1] for line in info.splitlines() if line.startswith("Pages:")))


class Practice(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.dir = pathlib.Path(cls.folder.name)
        cls.code = run("practice", "--make-set", "--seed", 7, "--count", 3, "--kinds", "molar,overjet,notation", "--difficulty", 2, "--title", "Group A").strip()

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def asked(self, *args, given="", code=0):
        done = subprocess.run([PROGRAM, "practice", *map(str, args)], input=given, capture_output=True, text=True, timeout=120)
        self.assertEqual(done.returncode, code, done.stdout + done.stderr)
        return done.stdout if code == 0 else done.stderr

    def best_answers(self, report):
        lines = []
        for question in report["questions"]:
            key = question["key"]
            lines.append(str(1 + key["credits"].index(1)) if question["form"] == "choice" else
                         f"{key['value']:.2f}" if question["form"] == "number" else " ".join(map(str, key["teeth"])))
        return "\n".join(lines) + "\n"

    def test_a_set_asks_the_same_each_time_and_marks(self):
        first = json.loads(self.asked("--set", self.code, "--format", "json"))
        self.assertEqual(first, json.loads(self.asked("--set", self.code, "--format", "json")))
        self.assertEqual([q["kind"] for q in first["questions"]], ["molar", "overjet", "notation"])
        answers = self.dir / "answers.txt"
        answers.write_text("# answers of Group A\n" + self.best_answers(first))
        right = json.loads(self.asked("--set", self.code, "--answers", answers, "--format", "json", "--by", "A. Student"))
        self.assertEqual(right["credit"], 3)
        self.assertEqual({q["mark"]["verdict"] for q in right["questions"]}, {"right"})
        wrong = json.loads(self.asked("--set", self.code, "--format", "json", "--by", "B. Student", given="nonsense\n99\n11\n"))
        self.assertLess(wrong["credit"], 2)
        results = self.dir / "results.txt"
        results.write_text(right["result"] + "\n" + wrong["result"] + "\n")
        table = run("practice", "--gather", results, "--set", self.code)
        self.assertIn("A. Student: 3 of 3", table)
        self.assertIn("usual wrong answer: 99 mm", table)
        self.assertNotIn("not readable", table)  # no answer that somebody gave
        rows = run("practice", "--gather", results, "--set", self.code, "--format", "csv").splitlines()
        self.assertEqual(len(rows), 1 + 2 * 3)
        self.assertTrue(right["result"].startswith("res2-"))
        self.assertIn("rows 1 and 2 (A. Student, B. Student) were signed with one key", table)
        results.write_text(right["result"].replace("res2-", "res2-A") + "\n")
        self.assertIn("line 1", run("practice", "--gather", results, "--set", self.code, code=2))

    def test_bad_results_are_named_by_line_and_leave_the_others_alone(self):
        mine = json.loads(self.asked("--set", self.code, "--format", "json", "--by", "A. Student", given="1\n2\n11\n"))["result"]
        results = self.dir / "mixed.txt"
        # Altered, with a check sum that fits again: only the signature tells.
        body, key, signature, _ = mine.removeprefix("res2-").split(".")
        said = json.loads(base64.urlsafe_b64decode(body + "=" * (-len(body) % 4)))
        said["answers"][0][0] = "2"
        forged = "res2-" + base64.urlsafe_b64encode(json.dumps(said, separators=(",", ":")).encode()).decode().rstrip("=") + f".{key}.{signature}"
        forged += "." + hashlib.sha256((forged + self.code).encode()).hexdigest()[:10]
        results.write_text(f"# Group A\n{forged}\n{mine}\nand again {mine}\n{mine[:-4]}\n")
        done = subprocess.run([PROGRAM, "practice", "--gather", str(results), "--set", self.code, "--format", "csv"],
                              capture_output=True, text=True, timeout=120)
        self.assertEqual(done.returncode, 1)
        self.assertIn("line 2 (A. Student): the signature does not fit", done.stderr)
        self.assertIn("line 5: the code is damaged", done.stderr)
        self.assertIn("more than once", done.stderr)
        rows = list(csv.DictReader(done.stdout.splitlines()))
        self.assertEqual([row["by"] for row in rows], ["A. Student"] * 3)
        # What a signature says is checked by another library too.
        public = base64.urlsafe_b64decode(key + "=")
        fingerprint = hashlib.sha256(public).hexdigest()[:20]
        self.assertEqual(rows[0]["key"].replace(" ", ""), fingerprint)

    def test_a_set_is_read_from_its_link(self):
        link = "http://localhost:8080/#" + self.code
        by_link = json.loads(self.asked("--set", link, "--format", "json", "--by", "A", given="1\n2\n11\n"))
        self.assertEqual(by_link, json.loads(self.asked("--set", self.code, "--format", "json", "--by", "A", given="1\n2\n11\n")))

    def test_without_a_place_for_a_key_a_result_is_unsigned_and_says_so(self):
        nowhere = self.dir / "a_file"
        nowhere.write_text("")
        done = subprocess.run([PROGRAM, "practice", "--set", self.code, "--format", "json"], input="1\n2\n11\n", capture_output=True,
                              text=True, timeout=120, env={**os.environ, "XDG_CONFIG_HOME": str(nowhere)})
        self.assertEqual(done.returncode, 0)
        self.assertIn("not signed", done.stderr)
        results = self.dir / "unsigned.txt"
        results.write_text(json.loads(done.stdout)["result"] + "\n")
        self.assertIn("unsigned", run("practice", "--gather", results, "--set", self.code))

    def test_questions_are_read_and_answered_as_text(self):
        text = self.asked("--seed", 5, "--count", 2, "--kinds", "notation", given="11\n")
        self.assertIn("Which tooth is marked?", text)
        self.assertIn("ISO 3950", text)
        self.assertIn("Question 2 of 2", text)
        self.assertIn("practice only", text)

    def test_bad_sets_and_kinds_are_refused(self):
        self.assertIn("damaged", self.asked("--set", self.code[:-1], code=2))
        self.assertIn("--list", self.asked("--kinds", "teeth", code=2))
        self.assertIn("molar", run("practice", "--list"))
        self.assertIn("at most 100", self.asked("--make-set", "--count", 101, code=2))
        self.assertIn("set1-", self.asked("--make-set", "--count", 100))

    def test_pictures_show_the_five_views(self):
        self.asked("--seed", 2, "--count", 1, "--kinds", "notation", "--pictures", self.dir / "p")
        names = sorted(p.name for p in (self.dir / "p").iterdir())
        self.assertEqual(names, [f"question-01-{v}.png" for v in ("front", "left", "lower", "right", "upper")])
        for name in names:
            data = (self.dir / "p" / name).read_bytes()
            self.assertEqual(data[:8], b"\x89PNG\r\n\x1a\n")
            self.assertEqual(struct.unpack(">II", data[16:24]), (800, 600))

    def test_progress_fits_the_questions_to_the_student_and_brings_back_what_was_missed(self):
        path = self.dir / "progress.json"
        ask = lambda day, given: json.loads(self.asked("--kinds", "overjet", "--count", 1, "--progress", path, "--day", day, "--format", "json", given=given))
        missed = ask(20000, "11\n")["questions"][0]
        self.assertEqual(missed["difficulty"], 4)
        other = ask(20000, "11\n")["questions"][0]
        self.assertLess(other["difficulty"], 4)
        again = ask(20001, "11\n")["questions"][0]
        self.assertEqual((again["seed"], again["difficulty"]), (missed["seed"], 4))
        kept = json.loads(path.read_text())
        self.assertEqual(len(kept["answers"]), 3)
        self.assertGreater(kept["skills"]["overjet"]["bias_mm"], 0)
        path.write_text("{}")
        self.assertIn("no progress file", self.asked("--progress", path, code=2))


def open_edges(path):
    """Edges of a binary STL that are not shared by exactly two triangles of opposite direction."""
    data = pathlib.Path(path).read_bytes()
    (count,) = struct.unpack_from("<I", data, 80)
    edges = {}
    for t in range(count):
        corners = [struct.unpack_from("<3f", data, 84 + 50 * t + 12 + 12 * k) for k in range(3)]
        for k in range(3):
            a, b = corners[k], corners[(k + 1) % 3]
            edges[(a, b)] = edges.get((a, b), 0) + 1
    return sum(1 for (a, b), n in edges.items() if n != 1 or edges.get((b, a)) != 1)


def run_export_landmarks(test, case):
    path = test.dir / "exported.json"
    run("export", case, "--landmarks", "-o", path, "--force")
    return json.loads(path.read_text())["landmarks"]


def shift_stl(source, target, by, scale=1.0):
    data = bytearray(pathlib.Path(source).read_bytes())
    (count,) = struct.unpack_from("<I", data, 80)
    for t in range(count):
        for corner in range(3):
            at = 84 + 50 * t + 12 + 12 * corner
            x, y, z = struct.unpack_from("<3f", data, at)
            struct.pack_into("<3f", data, at, (x + by[0]) * scale, (y + by[1]) * scale, (z + by[2]) * scale)
    pathlib.Path(target).write_bytes(data)


if __name__ == "__main__":
    unittest.main()
