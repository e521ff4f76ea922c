#!/usr/bin/env python3
"""Splint files read by other programs: the 3MF by lib3mf in strict mode, the STL by meshio. Same box in millimetres, same
volume, closed and oriented.

usage: splint_file_check.py PATH_OF_INTERCUSP
"""
import ctypes
import json
import pathlib
import subprocess
import sys
import tempfile

import meshio
import numpy as np

MILLIMETRE = 1  # lib3mf's eModelUnit


def require(condition, what):
    if not condition:
        raise AssertionError(what)
    print("ok:", what)


def volume_of(points, triangles):
    a, b, c = (points[triangles[:, k]] for k in range(3))
    return np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6


class Reader:
    """lib3mf by its C interface."""

    def __init__(self, path):
        self.lib = ctypes.CDLL("lib3MF.so.1")
        model, reader = ctypes.c_void_p(), ctypes.c_void_p()
        self.call("createmodel", ctypes.byref(model))
        self.call("model_queryreader", model, b"3mf", ctypes.byref(reader))
        self.call("reader_setstrictmodeactive", reader, ctypes.c_int(1))
        self.call("reader_readfromfileutf8", reader, str(path).encode())
        self.warnings = self.number("reader_getwarningcount", reader)
        self.unit = self.number("model_getunit", model)
        meshes, mesh, more = ctypes.c_void_p(), ctypes.c_void_p(), ctypes.c_int(0)
        self.call("model_getmeshobjects", model, ctypes.byref(meshes))
        self.call("resourceiterator_movenext", meshes, ctypes.byref(more))
        require(more.value & 1, "lib3mf finds a mesh")
        self.call("resourceiterator_getcurrent", meshes, ctypes.byref(mesh))
        self.points = self.table("vert", "vertices", mesh, np.float32)
        self.triangles = self.table("triangle", "triangleindices", mesh, np.uint32)
        sound = ctypes.c_int(0)
        self.call("meshobject_ismanifoldandoriented", mesh, ctypes.byref(sound))
        self.sound = bool(sound.value & 1)

    def call(self, name, *args):
        code = getattr(self.lib, "lib3mf_" + name)(*args)
        if code != 0:
            raise AssertionError(f"lib3mf: {name} answers {code & 0xffffffff:x}")

    def number(self, name, owner):
        value = ctypes.c_uint32()
        self.call(name, owner, ctypes.byref(value))
        return value.value

    def table(self, count_name, name, mesh, kind):
        count = self.number(f"meshobject_get{'vertex' if count_name == 'vert' else 'triangle'}count", mesh)
        rows = np.zeros((count, 3), kind)
        got = ctypes.c_uint32()
        self.call("meshobject_get" + name, mesh, rows.ctypes.data_as(ctypes.c_void_p), ctypes.c_uint32(count),
                  ctypes.byref(got))
        return rows


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        run = lambda *args: subprocess.run([program, *map(str, args)], check=True, capture_output=True, text=True).stdout
        run("sample", "class1", "--triangles", 20000, "-o", folder / "case.glb")
        run("move", folder / "case.glb", "--plan", "A", "--segment", "upper", "--up", 1.5, "-o", folder / "plan.glb")
        reports = {}
        for ending in ("stl", "3mf"):
            reports[ending] = json.loads(run("splint", folder / "plan.glb", "--plan", "A", "--stage", "final", "--step", 0.35,
                                             "--format", "json", "-o", folder / f"{ending}.{ending}"))
        read = Reader(folder / "3mf.3mf")
        require(read.warnings == 0, "lib3mf reads the 3MF strictly, without warnings")
        require(read.unit == MILLIMETRE, "the 3MF is in millimetres")
        require(read.sound, "lib3mf finds the mesh manifold and oriented")
        stl = meshio.read(folder / "stl.stl")
        corners, faces = stl.points.astype(float), stl.cells_dict["triangle"]
        points = read.points.astype(float)
        require(np.array_equal(corners.min(0), points.min(0)) and np.array_equal(corners.max(0), points.max(0)),
                "the STL and the 3MF have the same box")
        said = reports["3mf"]["volume_mm3"]
        for words, volume in (("3MF", volume_of(points, read.triangles)), ("STL", volume_of(corners, faces))):
            require(abs(volume / said - 1) < 1e-4, f"the volume of the {words} is what the report says: {said:.1f} mm3")
        require(len(read.triangles) == reports["3mf"]["triangles"] == len(faces), "all triangles are there")


main()
