"""Photos that a house file names: in photos/ of the batch, and nowhere else."""

import pytest

from reportgen.commands import main


def named(good, *names):
    return good + "photos:\n" + "".join(f"  - {{file: {name}, shows: panel label}}\n" for name in names)


def test_a_photo_that_is_there_is_one_of_the_inputs(good, batch):
    path = batch.write("photos/label.jpg", b"not looked into here")
    described = batch.load(named(good, "label.jpg"))
    assert not described.problems and path in described.inputs
    assert not described.house.photos[0].share


def test_two_entries_may_name_one_photo(good, batch):
    path = batch.write("photos/label.jpg", b"x")
    assert batch.load(named(good, "label.jpg", "label.jpg")).inputs.count(path) == 1


def test_a_missing_photo_is_named_with_its_line_and_what_to_do(good, batch):
    (text,) = batch.texts(named(good, "label.jpg"))
    assert text.startswith("elm.yaml:14:6: photos.0.file: found 'label.jpg'; there is no such file in photos/")
    assert "put the photo there" in text


@pytest.mark.parametrize("name", ["../label.jpg", "/etc/label.jpg", "a/b.jpg", '"..\\\\label.jpg"', ".hidden.jpg", "label.gif", "label"])
def test_only_the_name_of_a_jpeg_or_png_is_taken(good, batch, name):
    (text,) = batch.texts(named(good, name))
    assert "photos.0.file" in text and "name of a JPEG or PNG" in text


def test_a_link_to_a_photo_outside_is_refused(good, batch, tmp_path):
    (tmp_path / "label.jpg").write_bytes(b"x")
    batch.write("photos/other.jpg", b"x")
    (batch.folder / "photos" / "label.jpg").symlink_to(tmp_path / "label.jpg")
    (text,) = batch.texts(named(good, "label.jpg"))
    assert "outside the batch folder" in text


def test_check_looks_into_each_photo(good, batch, capsys):
    batch.write("photos/label.jpg", b"no picture")
    batch.write("elm.yaml", named(good, "label.jpg"))
    assert main(["check", str(batch.folder)]) == 1
    said = capsys.readouterr().out
    assert "x/elm.yaml: 1 problem" in said and "it holds no picture that can be read" in said and "Traceback" not in said
