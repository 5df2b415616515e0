"""A train written into a job's text: comments and all else stay, and the job has that train."""

from __future__ import annotations

import pytest

from gearplate.errors import UsageError
from gearplate.job.choose_train import ChosenStage, chosen_counts, with_chosen_train
from gearplate.job.load import load_job_text

HEAD = """\
format = 1        # of the file
part = "my-drive"
cutter = "demo"   # ours
material = "acetal-6mm"
wheel.diameter = 101.6
diametral_pitch = 20
"""
CHOSEN = [ChosenStage(12, 66), ChosenStage(28, 60, (24,))]
TEXTS = {
    "inline reduction": HEAD
    + """
# what we want: slow
reduction = {ratio = "11.25", within = 0.02, stages = 2, driven = [72,
   60], drivers = [28, 30, 32]}   # on two lines
# two of them
motors = {type = "generic-a", count = 2, pinion = 12}  # small
""",
    "dotted reduction": HEAD
    + """reduction.ratio = "11.25"  # slow
part_is = "x"
reduction.stages = 2
motors.type = "generic-a"
""".replace('part_is = "x"\n', "# between\n"),
    "reduction as a table": HEAD
    + """
[reduction]   # slow
ratio = "11.25"
# two stages
stages = 2

# our motor
[motors]
type = "generic-a"
""",
    "stages in line": HEAD
    + """stages = [{driven = 72}, {driver = 32, driven = 60}]  # old
motors = [{type = "generic-a", pinion = 11}]  # a list
""",
    "stages as tables": HEAD
    + """
# the first
[[stages]]
driven = 72  # big
# the second
[[stages]]
driver = {teeth = 28, thinning = 0.03}  # thin
driven = 60
# the third goes
[[stages]]
driver = 30
driven = 45

[motors]
type = "generic-a"
pinion = 12   # as bought
""",
    "the base has a reduction": """# ours
base = "hopper-ratio"   # from the hopper
part = "mine"
""",
    "the base has stages": """base = "compost-drive"
part = "mine"
drop = ["title"]   # none
""",
}


def comments(text: str) -> list[str]:
    return [line.split("#", 1)[1].strip() for line in text.splitlines() if "#" in line]


@pytest.mark.parametrize("name", TEXTS)
def test_the_job_has_the_train_and_every_comment(name: str) -> None:
    text = TEXTS[name]
    job = load_job_text(text)
    changed = with_chosen_train(text, job, CHOSEN)
    result = load_job_text(changed)
    assert chosen_counts(result) == [(12, 66, ()), (28, 60, (24,))]
    assert result.wish is None
    kept = "\n".join(comments(changed))
    for comment in comments(text):
        assert comment in kept or name == "stages as tables", comment
    # What has nothing to do with the train is as it was, to the byte.
    for line in HEAD.splitlines() if text.startswith(HEAD) else ():
        assert line in changed.splitlines()
    # Choosing it again changes nothing.
    assert with_chosen_train(changed, result, CHOSEN) == changed


def test_a_gear_that_keeps_its_count_keeps_what_is_said_of_it() -> None:
    text = TEXTS["stages as tables"]
    changed = with_chosen_train(text, load_job_text(text), CHOSEN)
    assert "driver = {teeth = 28, thinning = 0.03}  # thin" in changed
    assert "driven = 66  # big" in changed
    assert "# the second" in changed
    assert load_job_text(changed).layout_spec.train.stages[1].driver.thinning_mm == 0.03


def test_what_was_wanted_stays_as_a_comment() -> None:
    text = TEXTS["inline reduction"]
    changed = with_chosen_train(text, load_job_text(text), CHOSEN)
    assert '# reduction = {ratio = "11.25", within = 0.02, stages = 2, driven = [72,\n#    60]' in changed


def test_windows_line_ends_stay() -> None:
    text = TEXTS["reduction as a table"].replace("\n", "\r\n")
    changed = with_chosen_train(text, load_job_text(text), CHOSEN)
    assert chosen_counts(load_job_text(changed))[0] == (12, 66, ())
    assert changed.count("\n") == changed.count("\r\n")


def test_teeth_of_another_size_are_said_at_their_stage() -> None:
    text = TEXTS["inline reduction"]
    chosen = [ChosenStage(12, 66), ChosenStage(28, 60, size=("module", "1.5 mm"))]
    result = load_job_text(with_chosen_train(text, load_job_text(text), chosen))
    assert [stage.driven.system.module_mm for stage in result.layout_spec.train.stages] == [1.27, 1.5]


def test_a_pinion_of_the_base_is_left_to_the_team() -> None:
    text = TEXTS["the base has a reduction"]
    with pytest.raises(UsageError, match="pinion of 11 teeth in this file first"):
        with_chosen_train(text, load_job_text(text), [ChosenStage(11, 66), *CHOSEN[1:]])
