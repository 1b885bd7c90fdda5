"""Signs, placements and boxes of the display list."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawing.geometry import Box, Placement, cut_out, length_along, stretches
from loomwright.drawing.lettering import text_width_mm
from loomwright.drawing.scene import Arc, Circle, Polygon, Polyline, Sign, Symbol, Text, Wire
from loomwright.drawing.symbols import FINDINGS, SIGNS, body_rail, rail_head
from loomwright.drawing.symbols_contacts import selector
from loomwright.drawing.symbols_parts import converter, joint

#: What the look asks to be drawn; each must be there under a title for the key of signs.
ASKED = """
fuse / fuse missing / way free / battery / lamp / motor / generator / switch, by hand / push, springs back
/ change-over contact / two-way switch / relay contact / relay coil / pressure switch / senses voltage
/ converter / solar panel / terminal / joined / plug and socket / stud on the body / protective earth
/ mains inlet / mains socket / diode / shunt / panel output / bar"""


def test_every_sign_that_is_asked_for_is_there():
    titles = {sign.title for sign in SIGNS.values()}
    assert {" ".join(title.split()) for title in ASKED.split("/")} <= titles


def test_signs_of_one_title_are_one_contact_in_several_positions():
    of_title: dict[str, list[Sign]] = {}
    for sign in SIGNS.values():
        of_title.setdefault(sign.title, []).append(sign)
    several = {title: signs for title, signs in of_title.items() if len(signs) > 1}
    assert len(several) == 6
    for title, signs in several.items():
        ends = [{name: at for name, at in sign.terminals.items() if name != "link"} for sign in signs]
        assert all(one == ends[0] for one in ends), title
    assert [sign.title for sign in FINDINGS.values()] == [
        "do not energise",
        "fix before handover",
        "watch",
        "note",
    ]


@pytest.mark.parametrize("sign", SIGNS.values(), ids=SIGNS)
def test_terminals_lie_at_the_sign(sign):
    """The outline of a fuse that is missing has none: its wire runs through it unbroken."""
    box = sign.box().grown(0.01)
    assert bool(sign.terminals) == (sign.name != "fuse_missing")
    for name, (x, y) in sign.terminals.items():
        assert box.left <= x <= box.right, name
        assert box.top <= y <= box.bottom, name


@pytest.mark.parametrize("sign", SIGNS.values(), ids=SIGNS)
def test_feed_above_return_below(sign):
    """A two-ended part stands upright in its column: in or plus above, out or minus below."""
    for first, last in (("in", "out"), ("a", "k")):
        if {first, last} <= set(sign.terminals):
            assert sign.terminals[first][0] == sign.terminals[last][0] == 0.0
            assert sign.terminals[first][1] < sign.terminals[last][1]


def test_sizes_of_the_look():
    """Fuse 4 by 10, lamp r 5, motor r 6, terminal and splice r 0.9, stud r 2.0; ink 0.35."""
    assert SIGNS["fuse"].box().width == pytest.approx(4.35)
    assert SIGNS["fuse"].box().height == pytest.approx(10.35)
    radii = {"lamp": 5.0, "motor": 6.0, "generator": 6.0, "terminal": 0.9, "stud": 2.0}
    for name, radius in radii.items():
        assert max(s.radius for s in SIGNS[name].shapes if isinstance(s, Circle)) == radius
    assert joint(0.4).box().width == pytest.approx(1.8)
    assert joint(2.0).box().width == pytest.approx(3.4)


@pytest.mark.parametrize(
    ("turn", "mirrored", "lands"),
    [
        (0, False, (12, 21)), (90, False, (9, 22)), (180, False, (8, 19)), (270, False, (11, 18)),
        (0, True, (8, 21)), (90, True, (9, 18)),
    ],
)  # fmt: skip
def test_placing_mirrors_then_turns_clockwise(turn, mirrored, lands):
    """The point 2 right of and 1 below the middle, as seen on the sheet."""
    assert Placement((10, 20), turn, mirrored).point((2, 1)) == lands


@given(
    st.sampled_from([0, 90, 180, 270]),
    st.booleans(),
    st.floats(0, 360),
    st.floats(10, 300),
    st.floats(0.5, 2),
)
def test_a_placed_arc_keeps_its_ends(turn, mirrored, start, sweep, scale):
    arc, place = Arc((1.0, 2.0), 2.5, start, sweep), Placement((30, 40), turn, mirrored, scale)

    def ends(of):
        angles = (math.radians(of.start_deg), math.radians(of.start_deg + of.sweep_deg))
        return [
            (of.centre[0] + of.radius * math.cos(a), of.centre[1] + of.radius * math.sin(a)) for a in angles
        ]

    asked = sorted(place.point(end) for end in ends(arc))
    for one, other in zip(sorted(ends(arc.placed(place))), asked, strict=True):
        assert one == pytest.approx(other, abs=1e-6)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_texts_in_signs_stay_level_and_centred(turn):
    motor = Symbol(SIGNS["motor"], (50, 60), turn)
    (letter,) = motor.texts()
    assert letter.upright
    assert letter.box().centre == pytest.approx((50, 60), abs=0.05)


def test_slots_show_what_they_are_given():
    box = Symbol(converter(), (50, 60), values=(("in", "12"), ("out", "")))
    assert [text.text for text in box.texts()] == ["12"]
    assert [text.text for text in Symbol(SIGNS["battery"], (0, 0)).texts()] == ["+", "−"]


def test_a_small_sign_keeps_its_letters_readable():
    (letter,) = Symbol(SIGNS["motor"], (50, 60), scale=0.3).texts()
    assert letter.size == 2.5


def test_a_selector_joins_what_it_rests_on():
    rests, off = selector(3, 17.6, 2), selector(3, 17.6)
    assert rests.terminals["common"] == (0.0, 5.0)
    assert rests.terminals["2"] == (0.0, -5.0)
    assert rests.terminals["3"] == (17.6, -5.0)
    blades = [sign.shapes[0].points[1] for sign in (rests, off)]
    assert blades[0] == rests.terminals["2"]
    assert blades[1] not in off.terminals.values()


def test_boxes_cover_what_is_inked():
    assert Polyline(((0, 0), (10, 0))).box() == Box(-0.175, -0.175, 10.175, 0.175)
    assert Polygon(((0, 0), (4, 0), (4, 4)), "ink").box() == Box(0, 0, 4, 4)
    assert Wire(((0, 0), (0, 10)), 2.0, ("RD",)).half_width == pytest.approx(1.18)
    assert Wire(((0, 0), (0, 10)), 0.7).half_width == pytest.approx(0.35)


def test_text_boxes_follow_the_anchor():
    width = text_width_mm("W4", 3.6, 600)
    boxes = [Text((50, 50), "W4", 3.6, 600, anchor).box() for anchor in ("start", "middle", "end")]
    assert [box.left for box in boxes] == pytest.approx([50, 50 - width / 2, 50 - width])
    upwards = Text((50, 50), "W4", 3.6, 600, upright=False).box()
    assert (upwards.bottom, upwards.top) == pytest.approx((50, 50 - width))
    assert upwards.right <= 50.1


def test_a_text_is_clean_from_the_start():
    assert Text((0, 0), "a\n\x00b").text == "a □b"


@given(st.floats(0, 30), st.floats(0, 30))
def test_a_part_cut_out_has_its_length(one, other):
    line = ((0.0, 0.0), (10.0, 0.0), (10.0, 20.0))
    start, end = sorted((one, other))
    if end - start > 1e-6:
        assert length_along(cut_out(line, start, end)) == pytest.approx(end - start, abs=1e-6)


@given(st.floats(0, 20), st.floats(0.1, 40))
def test_dashes_are_those_of_one_endless_pattern(offset, length):
    """Cutting a dashed line in two and drawing both parts gives the dashes of the whole."""
    whole = stretches(offset + length, (2.0, 4.0))
    part = [(a + offset, b + offset) for a, b in stretches(length, (2.0, 4.0), offset)]
    kept = [(max(a, offset), b) for a, b in whole if b > offset + 1e-9]
    assert [p for p in part if p[1] - p[0] > 1e-9] == [pytest.approx(k) for k in kept if k[1] - k[0] > 1e-9]


def test_the_body_is_hatched_below():
    bar, *strokes = body_rail(29, 358, 205)
    assert bar.pen.width == 1.4
    assert len(strokes) > 100
    assert all(205.7 <= y <= 207.8 for stroke in strokes for _, y in stroke.points)
    assert all(29 <= x <= 358 for stroke in strokes for x, _ in stroke.points)


def test_a_rail_says_its_number_in_a_box():
    box, number, words = rail_head("30a", "leisure battery plus", (100, 26))
    assert box.box().holds(number.box())
    assert words.box().left > box.box().right
