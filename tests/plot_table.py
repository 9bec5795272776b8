"""Reads the table that "poise plot --data" leaves, and looks where its words stand.

Widths are at most those of the drawn text (DejaVu Sans: an "i" has 0.28 of the size, the mean letter 0.56), so
that what is called a collision is one.
"""
import math
import re
import unicodedata

SIZES = {"notes": 15, "accents": 15, "remarks": 13}
PER_LETTER, HEIGHT = 0.48, 0.7
LINES = {"side": ["plumb", "strap"], "front": [], "window": ["path", "band-file", "band-file:2"],
         "ballast": ["edge-whole", "hatch", "contours"], "sweep": ["front"]}


def decoded(text):
    """A column of text, its octal escapes read."""
    data = re.sub(rb"\\([0-7]{3})", lambda m: bytes([int(m.group(1), 8)]), text.encode("utf-8"))
    return data.decode("utf-8", "replace")


def read(path):
    """Blocks by name: rows as lists of columns, None where a curve breaks."""
    blocks, rows = {}, []
    for line in path.read_text(encoding="utf-8").split("\n"):
        heading = re.match(r"# ([a-z0-9-]+): ", line)
        if heading:
            rows = blocks.setdefault(heading.group(1), [])
        elif line:
            rows.append([decoded(column) for column in line.split("\t")])
        else:
            rows.append(None)
    return blocks


def numbers(row, *columns):
    try:
        values = [float(row[i]) for i in columns]
    except (ValueError, IndexError, TypeError):
        return None
    return values if all(map(math.isfinite, values)) else None


def label_boxes(blocks, page, to_px):
    """(text, (min x, min y, max x, max y)) of every label."""
    found = []
    for block, size in SIZES.items():
        for row in blocks.get(block, []):
            at = row and numbers(row, 0, 1)
            if not at or len(row) < 3 or not row[2].strip():
                continue
            columns = sum(2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in row[2])
            x, y = to_px(page, *at)
            half = [0.5 * PER_LETTER * size * columns, 0.5 * HEIGHT * size]
            found.append((row[2], (x - half[0], y - half[1], x + half[0], y + half[1])))
    return found


def overlap(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def line_points(blocks, name, page, to_px):
    """Points every few px along the lines of a block."""
    name, _, column = name.partition(":")
    before = None
    for row in blocks.get(name, []):
        at = row and numbers(row, 0, int(column or 1))
        now = to_px(page, *at) if at else None
        if before and now:
            steps = max(1, int(math.dist(before, now) / 2))
            for i in range(steps + 1):
                yield [before[k] + (now[k] - before[k]) * i / steps for k in (0, 1)]
        before = now


def collisions(blocks, view, page, to_px):
    """What is wrong with the labels, in words."""
    labels, wrong = label_boxes(blocks, page, to_px), []
    for i, (text, box) in enumerate(labels):
        wrong += [f"{text!r} lies on {other!r}" for other, b in labels[i + 1:] if overlap(box, b)]
        if box[0] < 0 or box[2] > page["WIDTH"] or box[1] < 0 or box[3] > page["HEIGHT"]:
            wrong.append(f"{text!r} leaves the page")
    for name in LINES.get(view, []):
        points = list(line_points(blocks, name, page, to_px))
        wrong += [f"{name} strikes through {text!r}" for text, b in labels
                  if any(b[0] < x < b[2] and b[1] < y < b[3] for x, y in points)]
    return wrong
