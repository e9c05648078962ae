#!/usr/bin/env python3
"""Balances the boards of seating-cases.json another way, and writes or checks seating.json.

Nothing here is shared with the program but the equations: areas are integrated over cells that are
halved where a pressure law has a corner, pad curves are SciPy's, and the balance is found as a root of
force and moments, without an energy or an analytic derivative.

Usage: seating.py [--check]
"""

import json
import sys
from functools import lru_cache
from pathlib import Path

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, least_squares, root

HERE = Path(__file__).resolve().parent
NEWTON_PER_KPA_MM2 = 1e-3
SCALE_MM, EXPONENT = 0.131, 0.166  # the scaling law of the bond line
POINTS, WEIGHTS = np.polynomial.legendre.leggauss(6)
DEEPEST = 9  # halvings of a cell that a corner of the law passes through
EVEN = 1.15  # paste this even needs no further halving
AGREE = 1e-9  # how nearly a second run must agree, relative


@lru_cache(maxsize=None)
def curve(table):
    strain, pressure = np.array(((0.0, 0.0), *table)).T
    return PchipInterpolator(strain, pressure)


def pressure_kpa(law, gap):
    """The pressure of a law at gaps (mm)."""
    if law["kind"] == "paste":
        return law["yield_pa"] / 1000 * (SCALE_MM / gap) ** (1 / EXPONENT)
    if law["kind"] == "foundation":
        return law["modulus_kpa_mm"] * np.maximum(0.0, law["free_mm"] - gap)
    table = tuple(map(tuple, law["deflection"]))
    pchip, last = curve(table), table[-1][0]
    strain = 1 - gap / law["thickness_mm"]
    inside = pchip(np.clip(strain, 0.0, last))
    return law.get("remaining", 1.0) * (inside + np.maximum(0.0, strain - last) * pchip(last, 1))


def corners_mm(law):
    """The gaps at which a law changes from one formula to another."""
    if law["kind"] == "paste":
        return np.array([])
    if law["kind"] == "foundation":
        return np.array([law["free_mm"]])
    return law["thickness_mm"] * (1 - np.array([0.0] + [strain for strain, _ in law["deflection"]]))


def cells_of(support, gap_at):
    """Cells (x, y, half width, half height) over a support, fine where its law has a corner."""
    x, y, width, height = support["place"]
    cells = np.array([[x + width / 2, y + height / 2, width / 2, height / 2]])
    law, finished = support["law"], []
    for depth in range(DEEPEST + 1):
        centre = gap_at(cells[:, 0], cells[:, 1])
        swing = gap_at(cells[:, 0] + cells[:, 2], cells[:, 1]) - centre
        swing = np.abs(swing) + np.abs(gap_at(cells[:, 0], cells[:, 1] + cells[:, 3]) - centre)
        if law["kind"] == "paste":
            rough = centre + swing > EVEN * (centre - swing)
        else:
            distance = np.abs(centre[:, None] - corners_mm(law)[None, :])
            rough = (distance < swing[:, None]).any(axis=1)
        if depth == DEEPEST:
            rough[:] = False
        finished.append(cells[~rough])
        cells = cells[rough]
        if not len(cells):
            break
        half = cells[:, 2:] / 2
        signs = np.array([[-1, -1], [1, -1], [-1, 1], [1, 1]])
        cells = np.concatenate([np.hstack([cells[:, :2] + sign * half, half]) for sign in signs])
    return np.concatenate(finished)


def push(support, plate):
    """Force (N) and its moments about the origin (N mm)."""
    separation, a, b = plate

    def gap_at(x, y):
        return separation + a * x + b * y - support["face_mm"]

    cells = cells_of(support, gap_at)
    x = cells[:, 0, None, None] + cells[:, 2, None, None] * POINTS[None, :, None]
    y = cells[:, 1, None, None] + cells[:, 3, None, None] * POINTS[None, None, :]
    x, y = np.broadcast_arrays(x, y)
    area = (cells[:, 2] * cells[:, 3])[:, None, None] * np.outer(WEIGHTS, WEIGHTS)[None]
    force = NEWTON_PER_KPA_MM2 * area * pressure_kpa(support["law"], gap_at(x, y))
    return np.array([force.sum(), (force * x).sum(), (force * y).sum()])


def stop_push(stop, plate):
    separation, a, b = plate
    x, y = stop["at"]
    closed = stop["height_mm"] - (separation + a * x + b * y)
    return stop["stiffness_n_mm"] * max(0.0, closed) * np.array([1.0, x, y])


def least_paste_gap(board, plate):
    separation, a, b = plate
    gaps = [1.0]
    for support in board["supports"]:
        if support["law"]["kind"] == "paste":
            x, y, width, height = support["place"]
            centre = separation + a * (x + width / 2) + b * (y + height / 2) - support["face_mm"]
            gaps.append(centre - abs(a) * width / 2 - abs(b) * height / 2)
    return min(gaps)


def unbalanced(board, plate):
    """Force and moments left over, N and N mm."""
    load = sum(f * np.array([1.0, x, y]) for x, y, f in board["screws"])
    pushes = [push(support, plate) for support in board["supports"]]
    stops = [stop_push(stop, plate) for stop in board["stops"]]
    return sum(pushes) + sum(stops) - load


def balance(board):
    load = sum(f for _, _, f in board["screws"])
    reach = 40.0

    def scaled(unknowns):
        separation, a, b = unknowns
        plate = np.array([separation, a / reach, b / reach])
        if least_paste_gap(board, plate) <= 0:
            return np.full(3, 1e6)
        return unbalanced(board, plate) / (load * np.array([1.0, reach, reach]))

    # Level first: between where paste is all but closed and where everything floats.
    pastes = [s["face_mm"] for s in board["supports"] if s["law"]["kind"] == "paste"]
    low = max(pastes) + 1e-3 if pastes else -5.0
    level = brentq(lambda separation: scaled((separation, 0.0, 0.0))[0], low, 30.0, xtol=1e-14)

    # Then give it its moment by and by, each time from the last answer.
    unknowns = np.array([level, 0.0, 0.0])
    off = scaled(unknowns)
    for share in np.linspace(0.0, 1.0, 9)[1:]:
        left = (1 - share) * off
        found = root(lambda unknowns: scaled(unknowns) - left, unknowns, method="hybr", tol=1e-13)
        if np.abs(found.fun).max() > 1e-6:  # hybr gives up where gaps are open
            tight = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15, "x_scale": 0.01}
            found = least_squares(lambda unknowns: scaled(unknowns) - left, unknowns, **tight)
        unknowns = found.x
    for _ in range(6):
        unknowns = polished(scaled, unknowns)
    residual = np.abs(scaled(unknowns)).max()
    if residual > 1e-10:
        raise SystemExit(f"{board['name']}: {residual:.1e} of the load is left over")
    separation, a, b = unknowns
    return np.array([separation, a / reach, b / reach]), residual


def polished(scaled, unknowns):
    """One Newton step with central differences, kept if it helps."""
    off = scaled(unknowns)
    far = 5e-8  # mm
    columns = [scaled(unknowns + step) - scaled(unknowns - step) for step in far * np.eye(3)]
    better = unknowns - np.linalg.solve(np.array(columns).T / (2 * far), off)
    return better if np.abs(scaled(better)).max() < np.abs(off).max() else unknowns


def answer(board):
    plate, residual = balance(board)
    supports = [push(support, plate)[0] for support in board["supports"]]
    stops = [stop_push(stop, plate)[0] for stop in board["stops"]]
    print(f"{board['name']}: {residual:.0e} left over", file=sys.stderr)
    return {
        "name": board["name"],
        "separation_mm": plate[0],
        "tilt": list(plate[1:]),
        "forces_n": supports,
        "stops_n": stops,
    }


def numbers(found):
    return np.array([found["separation_mm"], *found["tilt"], *found["forces_n"], *found["stops_n"]])


def main():
    boards = json.loads((HERE / "seating-cases.json").read_text())
    answers = [answer(board) for board in boards]
    path = HERE / "seating.json"
    if "--check" not in sys.argv[1:]:
        path.write_text(json.dumps(answers, indent=1) + "\n")
        return
    committed = json.loads(path.read_text())
    if [found["name"] for found in committed] != [found["name"] for found in answers]:
        raise SystemExit("seating.json does not have the boards of seating-cases.json")
    for old, new in zip(committed, answers):
        old_numbers, new_numbers = numbers(old), numbers(new)
        forces = np.full(len(old_numbers) - 3, max(new["forces_n"]))
        scale = np.concatenate([[1.0, 1.0, 1.0], forces])
        apart = (np.abs(old_numbers - new_numbers) / scale).max()
        if apart > AGREE:
            raise SystemExit(f"{new['name']}: seating.json is off by {apart:.1e}")
    print(f"{len(answers)} boards agree", file=sys.stderr)


if __name__ == "__main__":
    main()
