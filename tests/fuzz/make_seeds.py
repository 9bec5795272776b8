#!/usr/bin/env python3
"""Writes the seed inputs of the fuzz targets: small, one for each thing a format can say.

Usage: make_seeds.py CORPUS_DIR. Files that are there already with other names are kept.
"""
import io
import json
import pathlib
import random
import struct
import sys
import zipfile

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
RELATION = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"

# The corners of a box and its twelve triangles, outward.
CORNERS = [(x, y, z) for z in (0, 1) for y in (0, 1) for x in (0, 1)]
FACES = [(0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4),
         (2, 6, 3), (3, 6, 7), (0, 4, 2), (2, 4, 6), (1, 3, 5), (3, 7, 5)]
TETRA = [(0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2)]
TETRA_CORNERS = [(0, 0, 0), (10, 0, 0), (0, 10, 0), (0, 0, 10)]


def box(size, at=(0, 0, 0), inward=False):
    corners = [tuple(a + c * s for a, c, s in zip(at, corner, size)) for corner in CORNERS]
    return [[corners[i] for i in (reversed(f) if inward else f)] for f in FACES]


def ascii_stl(triangles):
    lines = ["solid seed"]
    for triangle in triangles:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex %g %g %g" % corner for corner in triangle]
        lines += ["endloop", "endfacet"]
    return ("\n".join(lines + ["endsolid seed", ""])).encode()


def binary_stl(triangles):
    body = b"".join(struct.pack("<12fH", 0, 0, 0, *[x for c in t for x in c], 0) for t in triangles)
    return b"seed".ljust(80, b"\0") + struct.pack("<I", len(triangles)) + body


def obj(triangles):
    lines = []
    for n, triangle in enumerate(triangles):
        lines += ["v %g %g %g" % corner for corner in triangle]
        lines.append("f %d %d %d" % (3 * n + 1, 3 * n + 2, 3 * n + 3))
    return ("\n".join(lines) + "\n").encode()


def mesh_xml(size=1.0):
    corners = "".join('<vertex x="%g" y="%g" z="%g"/>' % tuple(size * c for c in p) for p in TETRA_CORNERS)
    faces = "".join('<triangle v1="%d" v2="%d" v3="%d"/>' % f for f in TETRA)
    return f"<mesh><vertices>{corners}</vertices><triangles>{faces}</triangles></mesh>"


def model(resources, build, unit="millimeter"):
    return (f'<model unit="{unit}" xmlns="{CORE}"><resources>{resources}</resources>'
            f"<build>{build}</build></model>").encode()


def package(part, method=zipfile.ZIP_DEFLATED):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, data in (("_rels/.rels", relationships()), ("3D/3dmodel.model", part)):
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), data, compress_type=method)
    return out.getvalue()


def relationships():
    return (b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
            b'<Relationship Target="/3D/3dmodel.model" Id="r" Type="' + RELATION.encode() +
            b'"/></Relationships>')


def stl_seeds():
    solid = box((20, 10, 6))
    hollow = solid + box((10, 4, 2), (5, 3, 2), inward=True)
    over = solid + box((20, 10, 6), (10, 5, 3))
    return {"ascii": ascii_stl(solid), "binary": binary_stl(solid), "hollow": binary_stl(hollow),
            "overlapping": binary_stl(over), "open": ascii_stl(solid[:-1]),
            "inside-out": binary_stl(box((5, 5, 5), inward=True)),
            "cut-short": binary_stl(solid)[:200], "solid-binary": b"solid" + binary_stl(solid)[5:],
            "nan": binary_stl([[(float("nan"), 0, 0), (1, 0, 0), (0, 1, 0)]]),
            "huge": binary_stl(box((1e30, 1, 1))), "flat": ascii_stl(box((10, 10, 0))),
            "tiny": ascii_stl(box((1e-7, 1e-7, 1e-7)))}


def obj_seeds():
    quad = b"v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nv 0 0 1\nv 1 0 1\nv 1 1 1\nv 0 1 1\n" \
           b"f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2/1 3/2 7/3 6/4\nf 3//1 4//2 8//3 7//4\nf -8 -4 -1 -5\n"
    return {"triangles": obj(box((20, 10, 6))), "quads": quad, "comments": b"# a\ng x\nusemtl y\ns off\nvn 0 0 1\n" + quad,
            "continued": quad.replace(b"f 4 3", b"f 4 \\\n3"), "out-of-range": b"v 0 0 0\nf 1 2 3\n",
            "concave": b"v 0 0 0\nv 4 0 0\nv 4 4 0\nv 2 1 0\nf 1 2 3 4\n"}


def three_mf_seeds():
    plain = model(f'<object id="1">{mesh_xml()}</object>', '<item objectid="1"/>')
    nested = model(f'<object id="1">{mesh_xml()}</object><object id="2"><components>'
                   '<component objectid="1"/><component objectid="1" transform="1 0 0 0 1 0 0 0 1 20 0 0"/>'
                   "</components></object>", '<item objectid="2" transform="0 1 0 -1 0 0 0 0 1 5 5 5"/>', "inch")
    cycle = model('<object id="1"><components><component objectid="2"/></components></object>'
                  '<object id="2"><components><component objectid="1"/></components></object>',
                  '<item objectid="1"/>')
    mirror = model(f'<object id="1" type="model">{mesh_xml()}</object><object id="3" type="support">{mesh_xml()}</object>',
                   '<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/><item objectid="3"/>')
    entity = b'<!DOCTYPE m [<!ENTITY a "aaaa">]>' + plain
    return {"model": plain, "nested": nested, "cycle": cycle, "mirror": mirror, "doctype": entity,
            "package": package(plain), "package-stored": package(nested, zipfile.ZIP_STORED),
            "package-cut": package(plain)[:-30]}


def toolpath_seeds():
    start = "G21\nG90\nM83\nG28\nG1 Z0.2 F600\nG1 X10 Y10 F3000\n"
    square = "G1 X50 Y10 E1.6\nG1 X50 Y50 E1.6\nG1 X10 Y50 E1.6\nG1 X10 Y10 E1.6\n"
    return {name: bytes([flags]) + text.encode() for name, flags, text in (
        ("square", 0, start + square), ("layers", 1, start + square + "G1 Z0.4\n" + square),
        ("arcs", 0, start + "G2 X20 Y10 I5 J0 E0.5\nG3 X10 Y10 R-5 E0.5\nG2 X10 Y10 I3 J0 Z1 E1\n"),
        ("retract", 7, start + square + "G1 E-0.8\nG0 X80 Y80\nG1 E0.8\n" + square),
        ("absolute", 0, "G21\nM82\nG92 E0\n" + "G1 X1 Y1 Z1\nG1 X5 E1\nG1 X9 E2\nG92 E0\nG1 X5 E1 ; back\n"),
        ("inches", 0, "G20\nG90\nM83\nG1 X1 Y1 Z0.01\nG1 X2 E0.1\n"),
        ("checksum", 0, "N1 G1 X1 Y1 Z1*96\nN2 G1 X2 E1 (a comment)*7\n"),
        ("percent", 0, start + "M221 S95\nM220 S50\nG4 P500\nT1\n" + square),
        ("relative", 0, "G91\nM82\nG1 X1 Y1 Z1\nG1 X1 E1\nG1 X1 E1\n"),
        ("refused", 0, "G5 X1 Y1 I1 J1\nG90.1\nM200 D1.75\nG92.1\n"))}


def quantity_seeds():
    texts = ["25.4", "25.4 mm", "1 in", "2.2 kg", "7 lb 5 oz", "25 1/2 in", "185 g ± 10 g", "1 +/- 2 %", "30 %",
             "160 ml", "5 fl oz", "1e3", "1/0 in", "-3 deg", "45°", "0.63 g/cm3", "24 g/m ± 4 g/m", "8 s", "1 h 30 min",
             "20 °C", "11.5 mm3/s", "1,5", "1 2 3", "1e999", "nan", "0x10", "± 1", "1 ±", "  7  ", "12′", "½ in"]
    return {"%02d" % n: bytes([n % 14]) + text.encode() for n, text in enumerate(texts)}


def instrument_seeds(source):
    seeds = {}
    for path in ("components/instruments/linnet/linnet.json", "components/starter/starter.json",
                 "tests/data/instruments/good.json", "tests/data/instruments/bad.json"):
        seeds[pathlib.Path(path).stem] = (source / path).read_bytes()
    item = {"kind": "mass", "mass": "1 kg", "at": [1, 2, 3]}
    base = {"poise": 1, "items": {"a": item}}
    seeds["least"] = json.dumps(base).encode()
    full = dict(base, scale={"nut": [648, 0, 0], "saddle": [0, 0, 0], "frets": 22},
                posts={"tail": [-60, 0, 0], "horn": [330, 90, 0]}, strap={"length": 1100},
                stance={"neck_angle": "10 deg", "hand": [640, 0, 0]}, measured={"a": "900 g ± 1 g"},
                target={"mass": "3 kg", "hand_load": 100, "margin": 5},
                variants={"v": {"items": {"a": {"mass": 5}, "b": item}}})
    seeds["full"] = json.dumps(full).encode()
    seeds["escapes"] = json.dumps(dict(base, name="a\u001b[31m\u202e\"\\\u0000b\ud83d\ude00")).encode()
    seeds["left"] = json.dumps(dict(full, frame={"head": [0, 1, 0], "face": [0, 0, -1], "handed": "left"})).encode()
    parts = ["strap-post", "screw-m4x20-countersunk", "pot-16mm"]
    seeds["parts"] = json.dumps(dict(base, items={p: {"kind": "part", "part": p, "count": 2} for p in parts})).encode()
    seeds["deep"] = b"[" * 40 + b"]" * 40
    seeds["twice"] = b'{"poise":1,"poise":1,"items":{}}'
    seeds["pour"] = json.dumps(dict(base, materials={"r": {"base": "epoxy-table-top"}}, items={"p": {
        "kind": "poured", "volume": "200 ml", "depth": 6, "material": "epoxy-table-top",
        "mix": {"ratio": "2:1 by mass", "waste": "8 %", "pigment": 0.02}}})).encode()
    return seeds


def random_seeds(sizes, seed):
    draw = random.Random(seed)
    return {"%02d" % n: draw.randbytes(size) for n, size in enumerate(sizes)}


def main():
    corpus = pathlib.Path(sys.argv[1])
    source = pathlib.Path(__file__).resolve().parents[2]
    everything = {"stl": stl_seeds(), "obj": obj_seeds(), "3mf": three_mf_seeds(), "toolpath": toolpath_seeds(),
                  "quantity": quantity_seeds(), "instrument": instrument_seeds(source),
                  "cache": random_seeds((0, 1, 200, 1500), 1),
                  "physics": random_seeds([260] * 24, 2)}
    for target, seeds in everything.items():
        (corpus / target).mkdir(parents=True, exist_ok=True)
        for name, data in seeds.items():
            (corpus / target / f"seed-{name}").write_bytes(data)


if __name__ == "__main__":
    main()
