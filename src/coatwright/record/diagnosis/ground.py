"""Signs of the surface it went on: cleaning, rubbing down, bare metal, what was left below."""

from datetime import timedelta
from itertools import pairwise

from coatwright.engines.abrasion import number
from coatwright.errors import RangeError
from coatwright.model.substrate import Family
from coatwright.record.diagnosis.signs import Measured, Missing, Outcome, Reader, Told, place
from coatwright.record.diagnosis.story import Finding, Layer, Rubbing, Story

STEP = 1.12
"""Half a step between two neighbouring P-grades: the grade the sheet names is itself right."""

_SAME_SESSION = timedelta(hours=12)
_FILLING = {Family.HIGH_BUILD, Family.SPRAY_POLYESTER, Family.FILLER}
_HARMED_BY_ACID = {Family.EPOXY, Family.SPRAY_POLYESTER, Family.FILLER}
_DOUBTFUL = (Family.UNKNOWN, Family.CELLULOSE, Family.SYNTHETIC, Family.ACRYLIC_1K)


def not_cleaned(story: Story, index: int) -> Outcome:
    """Whether it was degreased after the last rubbing, before this layer.

    That none is on record counts as none done only where most other layers of the job have theirs.
    """
    layer = story.layers[index]
    before = layer.before
    if not _wants_cleaning(story.layers, index):
        return Missing.NEVER_AROSE
    last_rub = max((one.at for one in before.rubbed), default=None)
    clean = [at for at in before.cleaned if last_rub is None or at > last_rub]
    if clean:
        return Told(False, clean[-1], place(layer.product))
    if not _usually_cleaned(story, layer):
        return Missing.NOT_RECORDED
    return Told(True, layer.begun, place(layer.product), sure=0.93)


def _wants_cleaning(layers: list[Layer], index: int) -> bool:
    """Whether it lies on metal, on something rubbed, or on something of another day."""
    layer = layers[index]
    if index == 0 or layer.before.rubbed:
        return True
    return layer.begun - layers[index - 1].ended >= _SAME_SESSION


def _usually_cleaned(story: Story, layer: Layer) -> bool:
    others = [
        bool(one.before.cleaned)
        for many in (story.layers, *story.others.values())
        for number, one in enumerate(many)
        if one is not layer and _wants_cleaning(many, number)
    ]
    return bool(others) and sum(others) > len(others) / 2


def cleaned_early(story: Story, index: int) -> Outcome:
    """How long before this layer it was last degreased."""
    layer = story.layers[index]
    if not layer.before.cleaned:
        return Missing.NEVER_AROSE if _usually_cleaned(story, layer) else Missing.NOT_RECORDED
    at = layer.before.cleaned[-1]
    return Measured((layer.begun - at).total_seconds(), None, 600.0, at, place(layer.product))


def too_coarse(story: Story, index: int) -> Outcome:
    """Last grade before the layer, against the coarsest that its sheet says it hides."""
    layer = story.layers[index]
    graded = _graded(layer.before.rubbed)
    if not graded:
        return _no_rubbing(story)
    coarsest = layer.planned.coarsest if layer.planned else ""
    if not coarsest:
        return Missing.NOT_RECORDED
    rub, grade = graded[-1]
    bound = number(coarsest)
    return Measured(
        grade, bound, 0.0, rub.at, place(layer.product), excess=bound / STEP - grade,
        said=rub.said.grade, bound_said=coarsest,
    )  # fmt: skip


def grade_skipped(story: Story, index: int) -> Outcome:
    """Largest step between two grades before the layer."""
    layer = story.layers[index]
    graded = _graded(layer.before.rubbed)
    if not graded:
        return _no_rubbing(story)
    steps = [(finer[1] / coarser[1], coarser[0], finer[0]) for coarser, finer in pairwise(graded)]
    if not steps:
        return Missing.NEVER_AROSE
    step, coarser, finer = max(steps, key=lambda one: one[0])
    said = f"{coarser.said.grade} to {finer.said.grade}"
    return Measured(step, None, 0.0, finer.at, place(layer.product), said=said)


def _graded(rubbed: list[Rubbing]) -> list[tuple[Rubbing, int]]:
    found = []
    for rub in rubbed:
        try:
            found.append((rub, number(rub.said.grade)))
        except RangeError:
            continue
    return found


def _no_rubbing(story: Story) -> Missing:
    return Missing.NEVER_AROSE if story.rubbing_kept else Missing.NOT_RECORDED


def wet_rubbed(story: Story, index: int) -> Outcome:
    """Wait after the last wet rubbing before the layer."""
    layer = story.layers[index]
    wet = [one for one in layer.before.rubbed if one.said.wet]
    if not wet:
        return _no_rubbing(story)
    wait = (layer.begun - wet[-1].at).total_seconds()
    return Measured(wait, None, 300.0, wet[-1].at, place(layer.product))


def bare_spots(story: Story, index: int) -> Outcome:
    """Whether a place rubbed through was painted over without priming."""
    layer = story.layers[index]
    broken = layer.before.broken
    if not broken:
        if layer.before.rubbed:
            return Told(False, layer.before.rubbed[-1].at, place(layer.product), sure=0.9)
        return _no_rubbing(story)
    primed = [at for at in layer.before.spots if at >= broken[-1].at]
    return Told(not primed, (primed or [broken[-1].at])[-1], place(layer.product))


def no_guide_coat(story: Story, index: int) -> Outcome:
    """Whether filling primer was blocked without a guide coat before the layer."""
    layer = story.layers[index]
    if index == 0 or story.layers[index - 1].family not in _FILLING:
        return Missing.NEVER_AROSE
    rubbed = layer.before.rubbed
    if not rubbed:
        return _no_rubbing(story)
    guided = any(one.said.guide_coat for one in rubbed)
    return Told(not guided, rubbed[-1].at, place(layer.product), sure=0.95)


def waited_bare(story: Story, index: int) -> Outcome:
    """How long bare metal waited for its first primer since it was last abraded."""
    if index:
        return Missing.NEVER_AROSE
    layer = story.layers[0]
    bared = [*story.stripped, *(one.at for one in layer.before.rubbed)]
    bared = [at for at in bared if at <= layer.begun]
    if not bared:
        return Missing.NOT_RECORDED
    wait = (layer.begun - max(bared)).total_seconds()
    return Measured(wait, None, 600.0, layer.begun, place(layer.product))


def key_too_fine(story: Story, index: int) -> Outcome:
    """Last grade on the metal."""
    if index:
        return Missing.NEVER_AROSE
    layer = story.layers[0]
    graded = _graded(layer.before.rubbed)
    if not graded:
        return Missing.NOT_RECORDED
    rub, grade = graded[-1]
    return Measured(
        grade, None, 0.0, rub.at, place(layer.product), said=rub.said.grade, bound_said="P180"
    )


def acid(story: Story, index: int) -> Outcome:
    """Whether the layer lies on acid that it does not bear, or fills under acid."""
    layer = story.layers[index]
    if index == 0:
        return Missing.NEVER_AROSE
    under = story.layers[index - 1].family
    if not under or not layer.family:
        return Missing.NOT_RECORDED
    harmed = under == Family.ETCH and layer.family in _HARMED_BY_ACID
    return Told(harmed, layer.begun, place(layer.product))


def old_paint(story: Story, _: int) -> Outcome:
    """Whether old paint of doubtful kind was found and left."""
    first = story.layers[0]
    doubtful = [one for one in story.found if _is_doubtful(one)]
    left = [one for one in doubtful if not any(at >= one.at for at in story.stripped)]
    if left:
        return Told(True, left[-1].at, place(first.product))
    if story.stripped:
        return Told(False, story.stripped[-1], place(first.product))
    return Missing.NOT_RECORDED


def _is_doubtful(one: Finding) -> bool:
    words = f"{one.said.ground} {one.said.what}".casefold()
    return any(kind in words for kind in _DOUBTFUL)


def rust(story: Story, _: int) -> Outcome:
    """Whether rust was found and neither stripped nor rubbed off."""
    first = story.layers[0]
    rusty = [
        one for one in story.found
        if "rust" in f"{one.said.ground} {one.said.what}".casefold()
    ]  # fmt: skip
    gone = [*story.stripped, *(one.at for one in first.before.rubbed)]
    left = [one for one in rusty if not any(at >= one.at for at in gone)]
    if left:
        return Told(True, left[-1].at, place(first.product))
    return Told(False, gone[-1], place(first.product)) if gone else Missing.NOT_RECORDED


READERS: dict[str, Reader] = {
    "not-cleaned": not_cleaned,
    "cleaned-early": cleaned_early,
    "too-coarse": too_coarse,
    "grade-skipped": grade_skipped,
    "wet-rubbed": wet_rubbed,
    "bare-spots": bare_spots,
    "no-guide-coat": no_guide_coat,
    "waited-bare": waited_bare,
    "key-too-fine": key_too_fine,
    "acid": acid,
    "old-paint": old_paint,
    "rust": rust,
}
