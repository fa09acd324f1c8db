#!/usr/bin/env python3
"""Draws the page's icon, a rack's bar under its yellow pinion, into www/page: one SVG, and PNGs for what wants pixels.

Needs Pillow (PyPI, 13.0.0 was used). Run it after changing the drawing; its output is committed.
"""
from math import cos, pi, sin
from pathlib import Path

from PIL import Image, ImageDraw

INK, PAPER, TAPE = "#16232b", "#faf8f3", "#ffcf1a"
PAGE = Path(__file__).resolve().parent.parent / "page"
SIZE = 512
TEETH, RADIUS, HALF = 12, 116, 21  # of the pinion; half of a tooth's height
CENTRE = (256, 196)
PITCH = 2 * pi * RADIUS / TEETH


def pinion():
    """Outline of the pinion with a gap straight below its centre, where a tooth of the bar stands."""
    points = []
    for tooth in range(TEETH):
        for part, reach in ((-0.29, -HALF), (-0.15, HALF), (0.15, HALF), (0.29, -HALF)):
            turn = pi / 2 + (tooth + 0.5 + part) * 2 * pi / TEETH
            points.append((CENTRE[0] + (RADIUS + reach) * cos(turn), CENTRE[1] + (RADIUS + reach) * sin(turn)))
    return points


def bar():
    """Outline of the bar: seven teeth up, its ends drawn out to the inner joints."""
    line = CENTRE[1] + RADIUS
    points = [(52, line + 92), (52, line + HALF)]
    for tooth in range(-3, 4):
        for part, reach in ((-0.24, HALF), (-0.10, 4 - HALF), (0.10, 4 - HALF), (0.24, HALF)):
            points.append((CENTRE[0] + (tooth + part) * PITCH, line + reach))
    return points + [(460, line + HALF), (460, line + 92)]


def shapes(scale):
    """Both outlines and the hole of the pinion about the middle of the square, `scale` times as large."""
    move = lambda p: (256 + (p[0] - 256) * scale, 256 + (p[1] - 243) * scale)
    hole = [(CENTRE[0] + 44 * cos(k * pi / 24), CENTRE[1] + 44 * sin(k * pi / 24)) for k in range(48)]
    return [(PAPER, [move(p) for p in bar()]), (TAPE, [move(p) for p in pinion()]), (INK, [move(p) for p in hole])]


def png(name, size, scale, corner):
    fine = 4 * size
    picture = Image.new("RGBA", (fine, fine), (0, 0, 0, 0))
    draw = ImageDraw.Draw(picture)
    draw.rounded_rectangle((0, 0, fine - 1, fine - 1), corner * fine / SIZE, fill=INK)
    for colour, points in shapes(scale):
        draw.polygon([(x * fine / SIZE, y * fine / SIZE) for x, y in points], fill=colour)
    picture = picture.resize((size, size), Image.LANCZOS)
    if corner == 0:
        picture = picture.convert("RGB")
    # Few colours: a first visit fetches these too, and a larger size is the SVG's.
    picture.quantize(8).save(PAGE / name, optimize=True)


def svg(name, scale, corner):
    path = lambda points: "M" + "L".join(f"{x:.0f} {y:.0f}" for x, y in points) + "z"
    body = "".join(f'<path fill="{colour}" d="{path(points)}"/>' for colour, points in shapes(scale)[:2])
    x, y = CENTRE[0], 256 + (CENTRE[1] - 243) * scale
    body += f'<circle cx="{x}" cy="{y:.0f}" r="{44 * scale:.0f}" fill="{INK}"/>'
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIZE} {SIZE}"><rect width="{SIZE}" height="{SIZE}" rx="{corner}" fill="{INK}"/>{body}</svg>\n'
    (PAGE / name).write_text(text)


svg("icon.svg", 1, 112)
png("icon-192.png", 192, 1, 112)
# What a system cuts out of this one is at least a circle of 80 % of its width (W3C, Web App Manifest, "maskable").
png("icon-maskable-192.png", 192, 0.8, 0)
png("icon-touch-180.png", 180, 0.9, 0)
