"""Text and shapes stand out from what lies beneath them."""

import pytest

from screens import theme


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


def test_black_on_white_is_21_to_1_as_the_guideline_says():
    assert contrast((0, 0, 0, 1), (1, 1, 1, 1)) == pytest.approx(21.0)


@pytest.mark.parametrize(("name", "ink", "ground"), theme.TEXT_PAIRS, ids=lambda v: str(v)[:40])
def test_text_reaches_the_4_5_to_1_of_wcag_aa(name, ink, ground):
    assert contrast(ink, ground) >= 4.5, name


@pytest.mark.parametrize(("name", "shape", "ground"), theme.SHAPE_PAIRS, ids=lambda v: str(v)[:40])
def test_shapes_that_mean_something_reach_3_to_1(name, shape, ground):
    assert contrast(shape, ground) >= 3.0, name


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
