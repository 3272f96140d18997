"""Files that a user names: read whole or refused, written whole or left as they were."""

import os

import pytest

from clutchwright.errors import InputError
from clutchwright.files import Output, read_bytes, require_outputs, write_new, write_whole
from clutchwright.tomlfile.reading import LARGEST


def test_a_file_of_the_largest_size_is_read_and_one_more_byte_is_not(tmp_path):
    path = tmp_path / "bike.toml"
    path.write_bytes(b"x" * LARGEST)
    assert len(read_bytes(path)) == LARGEST
    path.write_bytes(b"x" * (LARGEST + 1))
    with pytest.raises(InputError, match=f"has more than {LARGEST} bytes"):
        read_bytes(path)


@pytest.mark.parametrize("kind", ["device", "pipe", "folder"])
def test_what_is_no_regular_file_is_neither_read_nor_written(tmp_path, kind):
    path = tmp_path / "thing"
    if kind == "device":
        path.symlink_to("/dev/zero")
    elif kind == "pipe":
        os.mkfifo(path)
    else:
        path.mkdir()
    with pytest.raises(InputError, match=r"is no regular file|is a folder"):
        read_bytes(path)
    with pytest.raises(InputError, match="not a file; choose another name"):
        write_whole(path, b"new")
    assert [each.name for each in tmp_path.iterdir()] == ["thing"]


def test_a_link_stays_and_its_file_is_written(tmp_path):
    (tmp_path / "far").mkdir()
    real, link = tmp_path / "far" / "real.html", tmp_path / "link.html"
    real.write_bytes(b"old")
    link.symlink_to(real)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert [each.name for each in real.parent.iterdir()] == ["real.html"]


def test_a_file_that_must_be_new_is_left_alone(tmp_path):
    path = tmp_path / "bike.toml"
    write_new(path, b"old")
    with pytest.raises(InputError, match="exists already"):
        write_new(path, b"new")
    assert path.read_bytes() == b"old"


def test_a_link_into_nothing_is_there_already(tmp_path):
    path = tmp_path / "bike.toml"
    path.symlink_to(tmp_path / "nowhere")
    with pytest.raises(InputError, match="exists already"):
        write_new(path, b"new")


def test_an_output_must_not_be_an_input_by_whatever_name(tmp_path):
    bike = tmp_path / "bike.svg"
    bike.write_bytes(b"old")
    (tmp_path / "link.svg").symlink_to(bike)
    (tmp_path / "twin.svg").hardlink_to(bike)
    for name in ("bike.svg", "link.svg", "twin.svg", f"../{tmp_path.name}/bike.svg"):
        with pytest.raises(InputError, match=r"--figure: is the file given as .*bike\.svg, which would be lost"):
            require_outputs([Output("--figure", tmp_path / name, (".svg",))], [bike])


def test_two_outputs_must_not_be_one_file(tmp_path):
    one, other = Output("--save", tmp_path / "x"), Output("--page", tmp_path / "." / "x")
    with pytest.raises(InputError, match="--page: and --save name the same file"):
        require_outputs([one, other])
    require_outputs([one, Output("--page", tmp_path / "y")])


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("nowhere/a.svg", "folder that does not exist"),
        ("a.gif", r"--figure = 'a.gif': must end in .svg or .png"),
        ("x" * 300 + ".svg", "cannot be written"),
        ("round.svg", "cannot be written"),
    ],
)
def test_a_place_where_nothing_can_be_written_is_found_before_the_work(tmp_path, name, message):
    (tmp_path / "round.svg").symlink_to(tmp_path / "round.svg")
    with pytest.raises(InputError, match=message):
        require_outputs([Output("--figure", tmp_path / name, (".svg", ".png"))])


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_folder_without_leave_to_write_is_found_before_the_work(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(InputError, match="may not be written here"):
        require_outputs([Output("--page", tmp_path / "a.html")])
