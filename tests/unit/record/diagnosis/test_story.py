"""Events told as layers: what is a layer, what a spot, what counts for which area and when."""

from datetime import UTC, datetime, timedelta

from coatwright.record import events as ev
from coatwright.record.diagnosis.story import tell

START = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)


def planned(surface=1.0):
    return ev.Planned(dry=3e-5, dry_spread=3e-6, surface=surface)


class Day:
    """Writes events a minute apart."""

    def __init__(self):
        self.events = []

    def note(self, body, area="door", patch="skin"):
        at = START + timedelta(minutes=len(self.events))
        self.events.append(ev.said("job", "Ivo", at, body, area, patch))
        return self.events[-1]

    def coat(self, product, number, area="door", patch="skin", surface=1.0):
        plan = planned(surface)
        begun = ev.CoatBegun(product=product, coat=number, planned=plan)
        first = self.note(begun, area, patch)
        self.note(ev.CoatDone(product=product, coat=number, trigger=200.0), area, patch)
        return first

    def story(self, area="door", patch="skin", until=None):
        return tell(self.events, area, patch, until or START + timedelta(days=9))


def shape(story):
    return [(layer.product, len(layer.coats)) for layer in story.layers]


def test_coats_of_one_product_are_one_layer_until_it_is_rubbed_or_begun_anew():
    day = Day()
    day.coat("build", 1)
    day.coat("build", 2)
    day.note(ev.RubbedDown(grade="P180", product="build"))
    day.coat("build", 1)
    day.coat("colour", 1)
    day.coat("colour", 1)
    story = day.story()
    assert shape(story) == [("build", 2), ("build", 1), ("colour", 1), ("colour", 1)]
    assert [one.said.grade for one in story.layers[1].before.rubbed] == ["P180"]
    assert story.prepared(0) is story.layers[1].before


def test_a_spot_is_no_layer_but_counts_as_primed():
    day = Day()
    day.coat("build", 1)
    day.note(ev.BrokeThrough(ground="metal", surface=0.003))
    day.coat("epoxy", 1, surface=0.01)
    day.coat("colour", 1)
    story = day.story()
    assert shape(story) == [("build", 1), ("colour", 1)]
    before = story.layers[1].before
    assert (len(before.broken), len(before.spots)) == (1, 1)
    assert story.layers[0].coats[0].done is not None


def test_other_patches_and_areas_are_kept_apart():
    day = Day()
    day.coat("epoxy", 1)
    day.coat("filler", 1, patch="hole")
    day.coat("epoxy", 1, area="bonnet", patch="")
    assert shape(day.story()) == [("epoxy", 1)]
    assert shape(day.story(patch="")) == [("epoxy", 1), ("filler", 1)]
    assert list(day.story().others) == ["bonnet"]


def test_what_came_after_is_not_known_yet():
    day = Day()
    day.coat("epoxy", 1)
    day.coat("colour", 1)
    assert shape(day.story(until=START + timedelta(minutes=1))) == [("epoxy", 1)]


def test_corrections_are_followed():
    day = Day()
    first = day.coat("epoxy", 1)
    really = ev.CoatBegun(product="etch", coat=1, planned=planned())
    day.note(ev.Corrected(event=first.id, why="wrong tin", body=really))
    assert shape(day.story()) == [("etch", 1)]


def test_measurements_find_their_coat():
    day = Day()
    day.coat("colour", 1)
    day.coat("colour", 2)
    day.note(ev.FilmRead(method="wet comb", product="colour", coat=1, readings=(5e-5,)))
    day.note(ev.CupWeighed(product="colour", coat=2, before=1.5, after=1.3))
    day.note(ev.FilmRead(method="gauge", readings=(1e-4, 1.1e-4)))
    layer = day.story().layers[0]
    assert [len(coat.combs) for coat in layer.coats] == [1, 0]
    assert [coat.cup is not None for coat in layer.coats] == [False, True]
    assert [coat.trigger for coat in layer.coats] == [200.0, 200.0]
    assert len(layer.gauged) == 1


def test_the_mix_by_name_or_the_last_of_its_product():
    day = Day()
    day.note(ev.Mixed(mix="a", product="colour", parts={"base": 0.2}))
    day.note(ev.Mixed(mix="b", product="colour", parts={"base": 0.3}))
    day.note(ev.CoatBegun(product="colour", coat=1, mix="a", planned=planned()))
    day.note(ev.CoatBegun(product="colour", coat=2, planned=planned()))
    day.note(ev.CoatBegun(product="colour", coat=3, mix="c", planned=planned()))
    story = day.story()
    found = [story.mix_of(coat) for coat in story.layers[0].coats]
    assert [mix.said.mix if mix else None for mix in found] == ["a", "b", None]
