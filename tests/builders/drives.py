"""Random drives that mostly can be built, as job texts: places are left to the tool. Random jobs for loading are in
tests/builders/jobs.py; few of those find a place."""

from __future__ import annotations

import random


def drive_text(number: int) -> str:
    """A two-stage drive of one to three motors, with this and that changed; the same for the same number."""
    dice = random.Random(number)

    def now_and_then(chance: float) -> bool:
        return dice.random() < chance

    metric = now_and_then(0.3)
    motor = "generic-b" if metric else dice.choice(["generic-a", "generic-a", "generic-b"])
    pinion = dice.randint(12, 13)
    first, second = dice.choice([66, 72, 74, 76, 80]), dice.choice([56, 60, 64])
    wide = f"{{teeth = {first}, face_width = {dice.choice([8, 12.7, 20])}}}" if now_and_then(0.2) else str(first)
    lines = [
        f'format = 1\npart = "drive-{number}"\nunits = "mm"\ncutter = "demo"\nmaterial = "acetal-6mm"',
        f"wheel = {{diameter = {dice.choice([101.6, 101.6, 127])}, width = {dice.choice([20, 25.4, 40])}, "
        f"gap = {dice.choice([6, 10, 15])}}}",
        "module = 1.25" if metric else "diametral_pitch = 20",
        f"stages = [{{driven = {wide}}}, {{driver = {dice.randint(30, 38)}, driven = {second}}}]",
    ]
    groups = []
    for _ in range(dice.randint(1, 3)):
        extra = f", slots = {dice.choice([0.5, 1.5])}" if now_and_then(0.2) else ""
        extra += f", screws = {dice.choice([3, 4])}" if now_and_then(0.2) else ""
        side = dice.choice(["outboard", "inboard", "inboard"])
        groups.append(f'{{type = "{motor}", pinion = {pinion}, side = "{side}"{extra}}}')
    lines.append(f"motors = [{', '.join(groups)}]")
    shaft = ['stock = "round-12mm"'] if metric else []
    shaft += ['pressed_from = "outside"'] if now_and_then(0.15) else []
    lines += [f"shaft = {{{', '.join(shaft)}}}"] if shaft else []
    if now_and_then(0.12):
        lines.append("rail = false")
    elif now_and_then(0.3):
        height, width = dice.choice([40, 50.8, 76.2]), dice.choice([25.4, 38.1, 50.8])
        lines.append(f"rail = {{height = {height}, width = {width}, count = {dice.choice([2, 3, 4, 6])}}}")
    plates = ['outline = "waisted"'] if now_and_then(0.4) else []
    plates += ["cover_gears = true"] if now_and_then(0.15) else []
    plates += ["washers = false"] if now_and_then(0.15) else []
    plates += [f"margin = {dice.choice([4, 8, 12])}"] if now_and_then(0.2) else []
    lines += [f"plates = {{{', '.join(plates)}}}"] if plates else []
    if now_and_then(0.3):
        lines.append(f"standoffs = {{count = {dice.choice([0, 1, 2, 4, 5])}}}")
    return "\n".join(lines) + "\n"
