#!/usr/bin/env python3
"""Writes the seed corpus of the fuzz targets, tests/fuzz/corpus/NAME/: one small file for each branch of a format.

The files are in the repository; run this after a format gains something worth a seed.
"""

import json
import pathlib
import struct

CORPUS = pathlib.Path(__file__).parent / "corpus"
POINTS = [(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1)]
FACES = [(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)]


def save(target, name, data):
    folder = CORPUS / target
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(data if isinstance(data, bytes) else data.encode())


def stl_seeds():
    data = b"tetrahedron".ljust(80, b"\0") + struct.pack("<I", len(FACES))
    text = "solid t\n"
    for face in FACES:
        corners = [POINTS[v] for v in face]
        data += struct.pack("<12fH", 0, 0, 0, *[c for p in corners for c in p], 0)
        text += "facet normal 0 0 0\nouter loop\n"
        text += "".join("vertex %.6e %g %g\n" % p for p in corners) + "endloop\nendfacet\n"
    save("stl", "binary", data)
    save("stl", "text", text + "endsolid t\n")
    save("stl", "solid_binary", b"solid" + data[5:])
    save("stl", "truncated", data[:200])


def ply_header(encoding, colour):
    lines = ["ply", f"format {encoding} 1.0", "comment c", "element vertex 4"]
    lines += [f"property {'double' if colour else 'float'} {axis}" for axis in "xyz"]
    lines += [f"property {'float' if colour == 'float' else 'uchar'} {c}" for c in ("red", "green", "blue") if colour]
    lines += ["element face 4", "property list uchar int vertex_indices", "element extra 1", "property list int short e"]
    return "\n".join(lines + ["end_header", ""])


def ply_seeds():
    for name, encoding, order in (("little", "binary_little_endian", "<"), ("big", "binary_big_endian", ">")):
        data = ply_header(encoding, "uchar").encode()
        for p in POINTS:
            data += struct.pack(order + "3d3B", *p, 10, 20, 30)
        for face in FACES:
            data += struct.pack(order + "B3i", 3, *face)
        save("ply", name, data + struct.pack(order + "i2h", 2, -1, 1))
    text = ply_header("ascii", "float")
    text += "".join("%g %g %g 0.5 0 1\n" % p for p in POINTS)
    save("ply", "text", text + "3 0 2 1\n4 0 1 3 2\n3 0 3 2\n3 1 2 3\n2 7 7\n")
    save("ply", "bare_vertices", "ply\nformat ascii 1.0\nelement vertex 4\nelement face 1\n"
         "property list uchar int vertex_indices\nend_header\n3 0 1 2\n")


def obj_seeds():
    vertices = "".join("v %g %g %g\n" % p for p in POINTS)
    save("obj", "plain", "# c\no a\n" + vertices + "".join("f %d %d %d\n" % tuple(v + 1 for v in f) for f in FACES))
    save("obj", "corners", vertices + "vt 0 0\nvn 0 0 1\nf 1/1/1 2/1/1 3//1 4/1\nf -4 -3 \\\n -2\n")
    save("obj", "colours", "".join("v %g %g %g 1 0.5 0\n" % p for p in POINTS) + "f 1 2 3 4\n")


def gltf(accessor_count):
    views = [{"buffer": 0, "byteLength": 48}, {"buffer": 0, "byteOffset": 48, "byteLength": 24},
             {"buffer": 0, "byteOffset": 72, "byteLength": 32}]
    accessors = [{"bufferView": 0, "componentType": 5126, "count": accessor_count, "type": "VEC3"},
                 {"bufferView": 1, "componentType": 5123, "count": 12, "type": "SCALAR"},
                 {"bufferView": 2, "componentType": 5123, "normalized": True, "count": 4, "type": "VEC4"}]
    primitive = {"attributes": {"POSITION": 0, "COLOR_0": 2}, "indices": 1}
    return {"asset": {"version": "2.0"}, "buffers": [{"byteLength": 104}], "bufferViews": views,
            "accessors": accessors, "meshes": [{"primitives": [primitive]}, {"primitives": [primitive, primitive]}]}


def glb(document, data):
    text = json.dumps(document).encode()
    text += b" " * (-len(text) % 4)
    body = struct.pack("<I4s", len(text), b"JSON") + text + struct.pack("<I4s", len(data), b"BIN\0") + data
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body


def glb_seeds():
    data = b"".join(struct.pack("<3f", *p) for p in POINTS)
    data += b"".join(struct.pack("<3H", *f) for f in FACES) + struct.pack("<16H", *range(0, 64000, 4000))
    save("glb", "mesh", glb(gltf(4), data))
    save("glb", "lying", glb(gltf(4000000000), data))
    save("glb", "json", json.dumps(gltf(4)))  # the target wraps plain JSON into a container itself


def landmark_seeds():
    points = {"11.incisal_edge_mid": [1, 2.5, -3e1], "16.mesiobuccal_cusp": [0, 0, 0], "ANS": [1, 1, 1]}
    for unit in ("mm", "inch"):
        save("landmarks", unit, json.dumps({"units": unit, "landmarks": points}))


def entry_seeds():
    key, ident = "A" * 43, "B" * 21 + "A"

    def entry(**fields):
        return dict(author=key, before="0" * 64, change=key, clock=2, count=2, id=ident, name="R. Falk", role="surgeon",
                    seen={key: 1}, time=1770000000000, **fields)

    movement = {"kind": "movement", "segment": "upper", "about": "", "forward_mm": 2.5, "up_mm": 0.0, "left_mm": 0.0,
                "pitch_deg": 0.0, "roll_deg": 0.0, "yaw_deg": 0.0}
    seeds = {
        "plan": entry(do="plan", plan="A", on="", first_jaw="upper", entries=[movement]),
        "landmark": entry(do="landmark", landmark="11.incisal_edge_mid", on="", at=[1.5, 2.5, 3.5], confirmed=True),
        "remark": entry(do="remark", at={"body": "upper_arch", "point": [1.5, 2.5, 3.5]}, text="look"),
        "agree": entry(do="agree", part="movement", plan="A", on="", digest="0" * 64),
        "frame": entry(do="frame", on="", rows=[[1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 1, 0]]),
    }
    for name, seed in seeds.items():
        save("entry", name, json.dumps(seed, sort_keys=True, separators=(",", ":")))


for make in (stl_seeds, ply_seeds, obj_seeds, glb_seeds, landmark_seeds, entry_seeds):
    make()
