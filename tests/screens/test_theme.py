"""Text and shapes stand out from what lies beneath them, in both palettes; colours have names."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

from screens import theme

SCREENS = Path(theme.__file__).parent
PALETTES = {"usual": theme.USUAL, "strong": theme.STRONG}
TOKEN = re.compile(r"\btheme\.([A-Z][A-Z_]*)\b")
COLOURS = {name.upper() for name in theme.Palette.__slots__}
NO_MEANING = {
    "AS_IS": "leaves a picture in its own colours",
    "CLEAR": "draws nothing",
    "NECK_EDGE": "the side of the neck, a picture of wood",
    "SHADOW": "what lies under a fret or a string, a picture",
}


def luminance(colour):
    """Relative luminance of an sRGB colour (WCAG 2.2, W3C, "relative luminance")."""
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour[:3]
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """Contrast ratio of two colours (WCAG 2.2, W3C, "contrast ratio")."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def between(palette, pair):
    above, below = (getattr(PALETTES[palette], name.lower()) for name in pair)
    return contrast(above, below)


@cache
def sources():
    """The text of each screen's files by name, but the theme's own."""
    return {
        path.name: path.read_text("utf-8")
        for path in (*SCREENS.glob("*.py"), *SCREENS.glob("*.kv"))
        if path.name != "theme.py"
    }


@pytest.fixture(autouse=True)
def _usual_again():
    yield
    theme.take(high_contrast=False)


def test_black_on_white_is_21_to_1_as_the_guideline_says():
    assert contrast((0, 0, 0, 1), (1, 1, 1, 1)) == pytest.approx(21.0)


@pytest.mark.parametrize(("palette", "least"), [("usual", 4.5), ("strong", 7.0)])
def test_text_reaches_the_4_5_to_1_of_wcag_aa_and_in_high_contrast_the_7_to_1_of_aaa(
    palette, least
):
    """WCAG 2.2, W3C: success criteria 1.4.3 and 1.4.6."""
    low = {pair: between(palette, pair) for pair in theme.TEXT_PAIRS}
    assert {pair: found for pair, found in low.items() if found < least} == {}


@pytest.mark.parametrize("palette", PALETTES)
def test_shapes_that_mean_something_reach_3_to_1(palette):
    """WCAG 2.2, W3C: success criterion 1.4.11."""
    strong = theme.STRONG_SHAPE_PAIRS if palette == "strong" else ()
    low = {pair: between(palette, pair) for pair in (*theme.SHAPE_PAIRS, *strong)}
    assert {pair: found for pair, found in low.items() if found < 3.0} == {}


def test_in_high_contrast_no_pair_stands_out_less_than_usually():
    for pair in (*theme.TEXT_PAIRS, *theme.SHAPE_PAIRS):
        assert between("strong", pair) >= between("usual", pair), pair


def test_every_token_that_a_screen_names_is_there():
    used = {(file, token) for file, text in sources().items() for token in TOKEN.findall(text)}
    assert [(file, token) for file, token in sorted(used) if not hasattr(theme, token)] == []


def test_every_colour_in_use_stands_in_a_pair_or_carries_no_meaning():
    pairs = (*theme.TEXT_PAIRS, *theme.SHAPE_PAIRS, *theme.STRONG_SHAPE_PAIRS)
    paired = {token for pair in pairs for token in pair}
    used = {token for text in sources().values() for token in TOKEN.findall(text)} & COLOURS
    assert used - paired - NO_MEANING.keys() == set()


def taken_when_made(tree):
    """The tokens that stand in a module or a class itself, or as what an argument usually is: read
    once, when it is imported."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.FunctionDef):
            usual = [value for value in (*node.args.defaults, *node.args.kw_defaults) if value]
            yield from (TOKEN.findall(ast.unparse(value)) for value in usual)
        elif isinstance(node, ast.ClassDef):
            yield from taken_when_made(node)
        elif not isinstance(node, ast.Import | ast.ImportFrom):
            yield TOKEN.findall(ast.unparse(node))


def test_no_colour_is_taken_once_and_for_all_when_a_module_is_imported():
    """It would stay that of the palette in use then."""
    for file, text in sources().items():
        if file.endswith(".py") and "theme." in text:
            taken = {token for tokens in taken_when_made(ast.parse(text)) for token in tokens}
            assert taken & COLOURS <= {"CLEAR"}, file


def painted():
    """What `paint` gives back in all classes: (file, line, fill, edge, ink) by tokens; a part that
    is worked out is given by all tokens in it."""
    for file, text in sources().items():
        if not file.endswith(".py") or "def paint" not in text:
            continue
        for function in ast.walk(ast.parse(text)):
            if not isinstance(function, ast.FunctionDef) or function.name != "paint":
                continue
            named = {
                target.id: TOKEN.findall(ast.unparse(node.value))
                for node in ast.walk(function)
                if isinstance(node, ast.Assign)
                for target in node.targets
                if isinstance(target, ast.Name)
            }
            for node in ast.walk(function):
                if isinstance(node, ast.Return) and isinstance(node.value, ast.Tuple):
                    parts = [
                        TOKEN.findall(ast.unparse(part)) or named.get(ast.unparse(part), [])
                        for part in node.value.elts
                    ]
                    yield file, node.lineno, *parts


def test_what_a_thing_paints_in_each_state_is_among_the_pairs():
    """Ink on its fill, and its edge on what it may lie on, where it has either."""
    texts = set(theme.TEXT_PAIRS)
    shapes = {*theme.SHAPE_PAIRS, *theme.STRONG_SHAPE_PAIRS, *texts}
    found = list(painted())
    assert len(found) > 30  # else nothing was read
    for file, line, fills, edges, inks in found:
        grounds = [fill for fill in fills if fill != "CLEAR"] or ["GROUND"]
        for fill in grounds:
            for ink in inks:
                assert (ink, fill) in {*texts, *shapes}, (file, line)
        for edge in (edge for edge in edges if edge != "CLEAR" and edge not in fills):
            assert (edge, "GROUND") in shapes, (file, line)


def test_no_colour_is_written_as_numbers_but_in_the_theme():
    bare = re.compile(
        r"Color\(\s*[\d.]|rgba?:\s*\(?\s*[\d.]|_color:\s*\(?\s*[\d.]|#[0-9a-fA-F]{6}\b"
    )
    assert [file for file, text in sources().items() if bare.search(text)] == []


def test_no_radius_is_written_as_a_number_but_in_the_theme():
    bare = re.compile(r"radius[:=]\s*\[?dp\([4-9\d]\d*\)")
    assert [file for file, text in sources().items() if bare.search(text)] == []


def test_the_same_names_give_the_palette_that_was_taken():
    assert theme.USUAL.ground == theme.GROUND
    theme.take(high_contrast=True)
    assert theme.STRONG.ground == theme.GROUND
    assert theme.thinned(theme.EDGE, 0.5) == theme.STRONG.edge
    with pytest.raises(AttributeError, match="no token MARBLE"):
        _ = theme.MARBLE


def test_there_are_three_text_sizes_that_grow():
    sizes = list(theme.TEXT_SIZES.values())
    assert sizes == sorted(set(sizes))
    assert len(sizes) == 3
    assert sizes[0] == 1.0


def test_the_smallest_type_is_no_smaller_than_15_sp():
    assert min(theme.SMALL, theme.BODY, theme.LEAD, theme.TITLE, theme.DISPLAY) >= 15


def test_text_sizes_are_those_that_the_settings_know():
    from practice.settings import TEXT_SIZES

    assert tuple(theme.TEXT_SIZES) == TEXT_SIZES
