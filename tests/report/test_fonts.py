"""The checked-in faces: whole for the report, renamed and licensed as the SIL Open Font License 1.1 asks."""

import pytest
from fontTools.ttLib import TTFont

from reportgen.describe.lettering import RANGES
from reportgen.report.assets import FACES, FONTS
from reportgen.report.build_fonts import FACES as BUILT
from reportgen.report.build_fonts import FEATURES

FILES = [file for file, *_ in FACES]


@pytest.fixture(params=FILES)
def face(request):
    return TTFont(FONTS / f"{request.param}.ttf")


def names(font: TTFont) -> dict[int, str]:
    return {entry.nameID: str(entry) for entry in font["name"].names}


def test_the_page_declares_exactly_the_faces_that_are_built():
    assert [(f.file, f.family, f.weight, "italic" if f.italic else "normal") for f in BUILT] == list(FACES)


def test_a_face_is_static(face):
    assert "fvar" not in face and "gvar" not in face


def test_a_changed_font_does_not_carry_the_reserved_name(face):
    """OFL 1.1, clause 3; the reserved name is read from the font's own copyright line."""
    found = names(face)
    assert "Reserved Font Name ‘Source’" in found[0]
    for number in (1, 3, 4, 6, 16, 17):
        assert "source" not in found[number].lower(), number
    assert 25 not in found


def test_copyright_and_licence_travel_with_the_font(face):
    """OFL 1.1, clause 2: fields 0 (copyright), 13 (licence) and 14 (its address)."""
    found = names(face)
    assert "Adobe" in found[0] and "SIL Open Font License, Version 1.1" in found[13] and "OFL" in found[14]


def test_both_licence_texts_lie_beside_the_fonts():
    texts = [path.read_text(encoding="utf-8") for path in FONTS.glob("LICENSE-*.txt")]
    assert len(texts) == 2 and all("SIL OPEN FONT LICENSE Version 1.1" in text for text in texts)


def test_embedding_is_not_restricted(face):
    """OS/2 fsType 0, installable embedding (OpenType specification, OS/2 table)."""
    assert face["OS/2"].fsType == 0


def test_every_sign_of_a_report_is_there(face):
    signs = "§²³½¼¾₂−≤≥≈→×·…–—‘’“”°%€£¥±√÷/'\u00a0ÄÖÜäöüßéèçñåøœŁłŠšžőűșț"
    assert not [sign for sign in signs if ord(sign) not in face.getBestCmap()]


@pytest.mark.parametrize("file", [file for file, _, _, style in FACES if style == "normal"])
def test_digits_are_as_wide_as_each_other(file):
    """Columns of figures, which are never set in italics, line up without any setting."""
    face = TTFont(FONTS / f"{file}.ttf")
    widths = {face["hmtx"][face.getBestCmap()[ord(digit)]][0] for digit in "0123456789"}
    assert len(widths) == 1


def test_figure_settings_and_kerning_survive_the_cut(face):
    kept = {record.FeatureTag for record in face["GPOS"].table.FeatureList.FeatureRecord}
    assert "kern" in kept and "kern" in FEATURES


@pytest.mark.parametrize("file", FILES)
def test_web_and_plain_form_hold_the_same_letters(file):
    assert TTFont(FONTS / f"{file}.woff2").getBestCmap() == TTFont(FONTS / f"{file}.ttf").getBestCmap()


@pytest.mark.parametrize("file", FILES)
def test_the_chart_library_opens_each_face_under_its_new_name(file):
    from matplotlib import font_manager
    family = {name: family for name, family, *_ in FACES}[file]
    font = font_manager.get_font(str(FONTS / f"{file}.ttf"))
    assert font_manager.ttfFontProperty(font).name.startswith(family)


def test_all_faces_together_stay_small():
    assert sum(path.stat().st_size for path in FONTS.iterdir()) < 600_000


def test_every_sign_that_a_house_file_may_hold_is_in_every_face(face):
    held = face.getBestCmap()
    assert not [hex(c) for low, high in RANGES for c in range(low, high + 1) if c not in held]
