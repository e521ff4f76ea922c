#!/usr/bin/env python3
"""Holds the readers and writers of core/formats against independent libraries.

    formats_check.py PATH_OF_formats_program

- Files that we write are read by meshio (STL, PLY, OBJ) and by assimp (.glb) and compared vertex by vertex with the mesh.
- Files that assimp and meshio write are read by us and compared in counts, volume and area.

Needs Debian's python3-meshio and assimp-utils. (The Khronos validator sees our .glb files in tests/glb.)
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import meshio
import numpy as np


def require(condition, what):
    if not condition:
        sys.exit(f"formats_check: {what}")
    print(f"ok: {what}")


def soup(points, triangles):
    return np.asarray(points)[np.asarray(triangles)].astype(np.float32)


def write_ours(program, folder):
    lines = subprocess.run([program, "write", folder], check=True, capture_output=True, text=True).stdout.split("\n")
    vertices = np.array([line.split()[1:] for line in lines if line.startswith("v")], dtype=float)
    triangles = np.array([line.split()[1:] for line in lines if line.startswith("t")], dtype=int)
    return vertices[:, :3], vertices[:, 3:].astype(int), triangles


def check_written(folder, points, colours, triangles):
    truth = soup(points, triangles)
    for name in ("mesh.stl", "mesh.ply", "mesh.obj"):
        mesh = meshio.read(folder / name)
        read = soup(mesh.points[:, :3], mesh.get_cells_type("triangle"))
        require(np.array_equal(read, truth), f"{name} read by meshio is the mesh, bit for bit")
    ply = meshio.read(folder / "mesh.ply").point_data
    # meshio takes PLY's uchar for signed; the bytes are what counts.
    read = np.stack([ply[c].view(np.uint8) for c in ("red", "green", "blue", "alpha")], axis=1)
    require(np.array_equal(read, colours), "mesh.ply read by meshio has the colours")


def assimp_export(source, target, kind, *options):
    subprocess.run(["assimp", "export", source, target, f"-f{kind}", *options], check=True, capture_output=True)


def check_glb(folder, points, colours, triangles):
    assimp_export(folder / "mesh.glb", folder / "glb.json", "assjson", "-ptv")  # -ptv applies the transforms of nodes
    mesh = json.loads((folder / "glb.json").read_text())["meshes"][0]
    read = soup(np.reshape(mesh["vertices"], (-1, 3)), mesh["faces"])
    linear = np.reshape(mesh["colors"][0], (-1, 4))
    expected = soup(np.stack([points[:, 0], points[:, 2], -points[:, 1]], axis=1) / 1000, triangles)
    require(np.abs(read - expected).max() < 1e-7, "mesh.glb read by assimp is in metres with +Y up")
    # IEC 61966-2-1: glTF keeps linear light; the encoding curve must give back the sRGB bytes.
    rgb = linear[:, :3]
    srgb = np.where(rgb <= 0.0031308, 12.92 * rgb, 1.055 * rgb ** (1 / 2.4) - 0.055)
    require(np.array_equal(np.rint(255 * srgb), colours[:, :3]), "mesh.glb read by assimp has the colours")
    require(np.array_equal(np.rint(255 * linear[:, 3]), colours[:, 3]), "mesh.glb read by assimp has the alpha")


def check_read(program, path, vertices, triangles, volume, area):
    out = subprocess.run([program, "read", path], check=True, capture_output=True, text=True).stdout.split(maxsplit=5)
    good = int(out[0]) == vertices and int(out[1]) == triangles
    good = good and abs(float(out[3]) / volume - 1) < 1e-4 and abs(float(out[4]) / area - 1) < 1e-4
    require(good, f"{path.name} is read by us as {out[5].strip()}: {out[0]} vertices, {out[1]} triangles")
    return int(out[2])


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        points, colours, triangles = write_ours(program, folder)
        check_written(folder, points, colours, triangles)
        check_glb(folder, points, colours, triangles)
        a, b, c = (points[triangles[:, k]] for k in range(3))
        volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6
        area = np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2
        sizes = (len(points), len(triangles), volume, area)
        mesh = meshio.Mesh(points.astype(np.float32), [("triangle", triangles)])
        for theirs, options in (("meshio_binary.stl", {"binary": True}), ("meshio_text.stl", {"binary": False}),
                                ("meshio_binary.ply", {"binary": True}), ("meshio_text.ply", {"binary": False}),
                                ("meshio.obj", {})):
            mesh.write(folder / theirs, **options)
            check_read(program, folder / theirs, *sizes)
        # From the STL, which has no colours: this assimp's binary PLY declares bytes for them but writes floats.
        for kind, suffix in (("stl", "stl"), ("stlb", "stl"), ("ply", "ply"), ("plyb", "ply"), ("obj", "obj")):
            path = folder / f"assimp_{kind}.{suffix}"
            assimp_export(folder / "mesh.stl", path, kind)
            check_read(program, path, *sizes)


main()
