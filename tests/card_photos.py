"""Photographs of sprayed test cards, made up: every truth is known, every fault of a phone is in.

The page is the SVG that is printed, drawn here by other means than a browser's. Paint lands as
droplets: of a mean D per area a Poisson number falls on each pixel, and each hides its share.
A pinhole camera looks at it askew, under a lamp and a window, with flare, vignetting, blur, shot
noise, a tone curve that is not quite sRGB, and JPEG. All invented; nothing was photographed.
"""

import math
import re
from dataclasses import dataclass, field, replace
from functools import cache
from xml.etree import ElementTree

import cv2
import numpy as np

from coatwright.engines.card.layout import layout
from coatwright.faces.drawing.card import card_svg

DOTS = 6.0  # per mm on the page
DROPLET = 0.25  # share of a pixel that one droplet hides


@dataclass(frozen=True)
class Truth:
    """The fan on the paper, lengths in mm, tilt in degrees; peak is the mean D in its middle."""

    length: float = 220.0
    width: float = 52.0
    across: float = 2.5
    along: float = 2.5
    x: float = 0.0
    y: float = 0.0
    tilt: float = 0.0
    peak: float = 1.1
    kind: str = "burst"
    ends: float = 0.0  # exp(ends * t): one end heavier
    side: float = 0.0  # exp(side * s): one side heavier
    bow: float = 0.0  # the ends bent to one side, mm
    split: float = 0.0  # share of the middle that is missing
    spatter: int = 0
    paint: tuple[float, float, float] = (0.05, 0.09, 0.06)  # dark green; B, G, R
    mist: float = 0.0  # a Gaussian skirt as a share of the peak


@dataclass(frozen=True)
class Shot:
    """How it was photographed."""

    paper: str = "A4"
    size: tuple[int, int] = (2000, 1500)
    pitch: float = 8.0  # degrees
    yaw: float = -6.0
    roll: float = 4.0
    fill: float = 0.82  # of the frame
    lamp: float = 0.5  # share of the light from one lamp
    lamp_at: tuple[float, float, float] = (250.0, -200.0, 900.0)  # mm from the middle of the page
    slope: float = 0.15  # light of the window, from side to side
    vignette: float = 2.0  # power of the cosine
    gains: tuple[float, float, float] = (0.88, 1.0, 1.05)
    exposure: float = 0.8  # of full scale on the brightest paper
    flare: float = 0.01
    blur: float = 0.8  # px
    noise: float = 1.0
    curve: float = 0.01  # how far the tone curve is from sRGB
    barrel: float = 0.0  # radial distortion at the corner of the frame
    quality: int = 88
    ink: float = 1.0  # power of the printer's tone
    dab: bool = True
    covered: tuple[int, ...] = field(default=())  # markers hidden by a hand


def srgb(linear):
    return np.where(
        linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055
    )


def unsrgb(code):
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


def drawn(paper: str, ink: float) -> np.ndarray:
    """The printed page as reflectance against paper, from its SVG."""
    shades = 0.035 + 0.965 * unsrgb(np.arange(256) / 255.0) ** ink
    return shades.astype(np.float32)[_greys(paper)]


@cache
def _greys(paper: str) -> np.ndarray:
    """The printed page in shades from 0 to 255."""
    card = layout(paper)
    size = round(card.height * 1e3 * DOTS), round(card.width * 1e3 * DOTS)
    page = np.full(size, 255, np.uint8)
    shift = 6
    for node in ElementTree.fromstring(card_svg(card)):
        name = node.tag.rsplit("}")[-1]
        at = {k: float(v) * DOTS for k, v in node.attrib.items() if re.fullmatch(r"[\d.]+", v)}
        shade = node.get("fill" if name == "rect" else "stroke", "#000000")
        shade = int(shade[1:3], 16) if shade.startswith("#") else 0
        if name == "rect":
            left, top = at["x"], at["y"]
            ends = ((left, top), (left + at["width"], top + at["height"]))
            (x1, y1), (x2, y2) = (tuple(round(v) for v in end) for end in ends)
            page[y1:y2, x1:x2] = shade
        elif name == "line":
            ends = [
                tuple(round(at[a] * 2**shift) for a in pair)
                for pair in (("x1", "y1"), ("x2", "y2"))
            ]
            cv2.line(page, *ends, shade, round(at["stroke-width"]), cv2.LINE_AA, shift)
        elif name == "circle":
            cv2.circle(
                page, (round(at["cx"]), round(at["cy"])), round(at["r"]), shade, 2, cv2.LINE_AA
            )
        elif name == "text":
            at_ = (round(at["x"]), round(at["y"]))
            cv2.putText(
                page,
                node.text,
                at_,
                cv2.FONT_HERSHEY_SIMPLEX,
                at["font-size"] / 36,
                0,
                2,
                cv2.LINE_AA,
            )
    return page


def _from_middle(card) -> tuple[np.ndarray, np.ndarray]:
    """Millimetres from the middle of the page, to the right in a row and down in a column."""
    x = (np.arange(round(card.width * 1e3 * DOTS), dtype=np.float32) + 0.5) / DOTS
    y = (np.arange(round(card.height * 1e3 * DOTS), dtype=np.float32) + 0.5) / DOTS
    return (x - card.width * 500)[None, :], (y - card.height * 500)[:, None]


def paint(truth: Truth, card) -> np.ndarray:
    """Mean D on the page."""
    x, y = _from_middle(card)
    x, y = x - truth.x, y - truth.y
    angle = math.radians(truth.tilt)
    t = (x * math.cos(angle) + y * math.sin(angle)) / (truth.length / 2)
    v = y * math.cos(angle) - x * math.sin(angle) - truth.bow * t**2
    room = np.clip(1 - t**2, 1e-9, None)
    if truth.kind == "pass":
        down = np.arange(len(y))[:, None] / DOTS - card.band.y * 1e3
        side, wet = np.zeros_like(v), (down >= 0) & (down <= card.band.height * 1e3) & (t**2 < 1)
    else:
        side = v / (truth.width / 2) / np.sqrt(room)
        wet = (t**2 < 1) & (side**2 < 1)
    t_, side, room = t[wet], side[wet], room[wet]  # powers and slopes only where paint falls
    power = truth.across - (0.5 if truth.kind == "pass" else 1.0)
    laid = room**power * (1 - side**2) ** (truth.along - 1) * np.exp(truth.ends * t_)
    laid *= np.exp(truth.side * side) * (1 - truth.split * np.exp(-((t_ / 0.35) ** 2)))
    film = np.zeros_like(t)
    film[wet] = laid
    if truth.mist:
        film += truth.mist * np.exp(-0.5 * ((t / 0.55) ** 2 + (v / (0.7 * truth.width)) ** 2))
    return truth.peak * film


def sprayed(truth: Truth, shot: Shot, rng) -> np.ndarray:
    """The page as linear reflectance in three channels."""
    card = layout(shot.paper)
    page = drawn(shot.paper, shot.ink)
    film = paint(truth, card)
    bare, wet = np.ones_like(film), film > 0
    bare[wet] = (1 - DROPLET) ** rng.poisson(film[wet] / DROPLET).astype(np.float32)
    for _ in range(truth.spatter):
        t, s = rng.uniform(-0.5, 0.5, 2)
        at = (
            card.width * 500 + truth.x + t * truth.length,
            card.height * 500 + truth.y + s * 1.4 * truth.width,
        )
        cv2.circle(
            bare,
            (round(at[0] * DOTS), round(at[1] * DOTS)),
            round(DOTS * rng.uniform(0.5, 1.4)),
            0.0,
            -1,
        )
    if shot.dab:
        dab = card.dab
        at = (
            round((dab.x + dab.width / 2) * 1e3 * DOTS),
            round((dab.y + dab.height / 2) * 1e3 * DOTS),
        )
        cv2.circle(bare, at, round(dab.width * 1e3 * DOTS * 0.42), 0.0, -1)
    printed, covered = page * bare, 1 - bare
    return np.dstack([
        printed * np.float32(paper) + covered * np.float32(laid)
        for paper, laid in zip((0.84, 0.88, 0.90), truth.paint, strict=True)
    ])  # fmt: skip


def _view(card, shot: Shot):
    """Page millimetres to pixels: a pinhole camera that looks at the middle of the page."""
    width, height = shot.size
    pitch, yaw, roll = (math.radians(v) for v in (shot.pitch, shot.yaw, shot.roll))
    turn = cv2.Rodrigues(np.array((0, 0, roll)))[0] @ cv2.Rodrigues(np.array((pitch, 0, 0)))[0]
    turn = turn @ cv2.Rodrigues(np.array((0, yaw, 0)))[0]
    focal = 0.75 * max(width, height)
    lens = np.array(((focal, 0, width / 2), (0, focal, height / 2), (0, 0, 1)))
    corners = np.array(
        [(sx * card.width * 500, sy * card.height * 500, 0) for sx in (-1, 1) for sy in (-1, 1)]
    )
    low, high = 50.0, 5000.0
    for _ in range(40):
        away = math.sqrt(low * high)
        seen = (corners @ turn.T + (0, 0, away)) @ lens.T
        seen = seen[:, :2] / seen[:, 2:]
        reach = np.max(np.abs(seen - (width / 2, height / 2)) / (width / 2, height / 2))
        low, high = (away, high) if reach > shot.fill else (low, away)
    move = np.array(((1, 0, -card.width * 500), (0, 1, -card.height * 500), (0, 0, 1)))
    plane = lens @ np.column_stack((turn[:, 0], turn[:, 1], (0, 0, away)))
    return plane @ move, focal


def _light(card, shot: Shot) -> np.ndarray:
    x, y = _from_middle(card)
    dx, dy, dz = shot.lamp_at
    near = dz**2 / ((x - dx) ** 2 + (y - dy) ** 2 + dz**2)
    lamp = near * np.sqrt(near)
    window = 1 + shot.slope * x / (card.width * 500)
    lit = (1 - shot.lamp) * window + shot.lamp / lamp.max() * lamp
    return lit / lit.max()


@cache
def _codes(curve: float) -> np.ndarray:
    """The camera's code for light in steps of 1/65535: a tone curve and rounding."""
    code = srgb((np.arange(2**16) + 0.5) / 65536)
    code = code - curve * np.sin(2 * math.pi * code)
    return np.clip(255 * code + 0.5, 0, 255).astype(np.uint8)


def taken(truth: Truth, shot: Shot, seed: int) -> bytes:
    """The photograph as the bytes of a JPEG file."""
    rng = np.random.default_rng(seed)
    card = layout(shot.paper)
    page = sprayed(truth, shot, rng)
    page *= _light(card, shot)[..., None]
    for number in shot.covered:
        box = next(one.box for one in card.markers if one.number == number)
        at = (
            round((box.x + box.width / 2) * 1e3 * DOTS),
            round((box.y + box.height / 2) * 1e3 * DOTS),
        )
        cv2.circle(page, at, round(12 * DOTS), (0.25, 0.35, 0.5), -1)
    view, focal = _view(card, shot)
    # Pixel i of the page has its middle at (i + 1/2) / DOTS millimetres.
    scale = np.array(((1 / DOTS, 0, 0.5 / DOTS), (0, 1 / DOTS, 0.5 / DOTS), (0, 0, 1)))
    width, height = shot.size
    bench = 0.22 * (1 + 0.1 * np.sin(np.arange(width) / 37.0))[:, None] * np.array((0.6, 0.8, 1.0))
    seen = cv2.warpPerspective(page, view @ scale, (width, height), flags=cv2.INTER_LINEAR)
    inside = cv2.warpPerspective(np.ones(page.shape[:2], np.float32), view @ scale, (width, height))
    seen += (1 - inside)[..., None] * bench.astype(np.float32)
    x = np.arange(width, dtype=np.float32)[None, :] - width / 2
    y = np.arange(height, dtype=np.float32)[:, None] - height / 2
    if shot.barrel:
        far = 1 + shot.barrel * (x**2 + y**2) / (width**2 + height**2) * 4
        seen = cv2.remap(seen, x * far + width / 2, y * far + height / 2, cv2.INTER_LINEAR)
    seen *= ((x**2 + y**2) / np.float32(focal**2) + 1)[..., None] ** (-shot.vignette / 2)
    white = np.quantile(seen[::3, ::3], 0.99)
    seen *= np.float32(shot.exposure / white / max(shot.gains)) * np.float32(shot.gains)
    seen += np.float32(shot.flare) * np.float32(cv2.mean(seen)[:3])
    seen = cv2.GaussianBlur(seen, (0, 0), shot.blur) if shot.blur else seen
    grain = rng.standard_normal(seen.shape, np.float32)
    spread = np.maximum(seen, 0)
    spread *= np.float32(shot.noise**2 / 6000)
    spread += np.float32((shot.noise * 0.0015) ** 2)
    grain *= np.sqrt(spread, out=spread)
    seen += grain
    np.clip(seen, 0, 1, out=seen)
    seen *= np.float32(65535)
    codes = _codes(shot.curve)[seen.astype(np.uint16)]
    return cv2.imencode(".jpg", codes, [cv2.IMWRITE_JPEG_QUALITY, shot.quality])[1].tobytes()


def drawn_at_random(seed: int, kind: str = "burst") -> tuple[Truth, Shot]:
    """A fan and a photograph of it, as wide as a shop would meet them."""
    rng = np.random.default_rng(10_000 + seed)
    draw = rng.uniform
    truth = Truth(
        length=draw(140, 260), width=draw(36, 70), across=draw(1.6, 3.4), along=draw(1.6, 3.4),
        x=draw(-8, 8), y=draw(-8, 8), tilt=draw(-8, 8), peak=draw(0.6, 1.8), kind=kind,
        paint=((0.05, 0.09, 0.06), (0.04, 0.05, 0.22), (0.20, 0.20, 0.19))[seed % 3],
    )  # fmt: skip
    shot = Shot(
        paper=("A4", "Letter")[seed % 4 == 3], pitch=draw(-20, 20), yaw=draw(-20, 20),
        roll=draw(-15, 15) + 180 * int(rng.integers(2)), fill=draw(0.72, 0.95), lamp=draw(0.1, 0.8),
        lamp_at=(draw(-500, 500), draw(-500, 500), draw(600, 1500)), slope=draw(-0.25, 0.25),
        vignette=draw(0, 4), gains=tuple(draw(0.8, 1.1, 3)), exposure=draw(0.5, 0.92),
        flare=draw(0, 0.02), blur=draw(0.4, 1.6), noise=draw(0.5, 2.0), curve=draw(-0.015, 0.015),
        quality=int(rng.integers(70, 96)), ink=draw(0.9, 1.15),
    )  # fmt: skip
    return truth, shot


__all__ = ["Shot", "Truth", "drawn_at_random", "replace", "taken"]
