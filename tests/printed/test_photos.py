"""Pictures in the record: up to twelve, reduced and upright, the originals listed with their checksums; a bad file costs nothing but itself."""

import base64
import hashlib
import io

import pytest
from PIL import Image

from twinkit.printed import photos


def picture(path, size=(2000, 1000), **more):
    path.parent.mkdir(exist_ok=True)
    Image.new("RGB", size, "#804020").save(path, **more)
    return path


def opened(photo):
    return Image.open(io.BytesIO(base64.b64decode(photo.data)))


def test_none_is_said_and_lists_nothing(tmp_path):
    assert photos.photos(tmp_path) == [] and photos.all_html([]) == ""
    assert "photo.jpg in the build folder" in photos.first_html([])


def test_order_reduction_and_checksums(tmp_path):
    for name in ("photo2.png", "photo.jpg", "photos/b.JPG", "photos/a.png"):
        picture(tmp_path / name)
    (tmp_path / "photos" / "notes.txt").write_text("no picture")
    found = photos.photos(tmp_path)
    assert [p.name for p in found] == ["photo.jpg", "photo2.png", "photos/a.png", "photos/b.JPG"]
    assert [opened(p).size for p in found] == [(photos.FIRST_PIXELS, photos.FIRST_PIXELS // 2)] + [(photos.PIXELS, photos.PIXELS // 2)] * 3
    assert [p.checksum for p in found] == [hashlib.sha256((tmp_path / p.name).read_bytes()).hexdigest() for p in found]
    markup = photos.all_html(found)
    assert all(p.name in markup and p.checksum in markup for p in found) and markup.count("<img") == 3, "the first one stands on the first sheet"


def test_the_thirteenth_is_listed_only(tmp_path):
    for n in range(14):
        picture(tmp_path / "photos" / f"{n:02d}.jpg", (40, 30))
    found = photos.photos(tmp_path)
    assert [bool(p.data) for p in found] == [True] * 12 + [False] * 2 and all(p.checksum for p in found)
    assert "2 more are listed only" in photos.all_html(found)


def test_a_picture_held_sideways_is_turned_and_what_the_camera_wrote_is_left_out(tmp_path):
    exif = Image.Exif()
    exif[0x0112], exif[0x010E] = 6, "where I live"
    picture(tmp_path / "photo.jpg", (400, 200), exif=exif)
    (found,) = photos.photos(tmp_path)
    assert opened(found).size == (200, 400) and not opened(found).getexif()
    assert b"where I live" not in base64.b64decode(found.data)


@pytest.mark.parametrize("mode", ["L", "P", "RGBA", "LA", "CMYK", "1", "I;16"])
def test_every_kind_of_colours_is_read(mode, tmp_path):
    kind = "jpg" if mode == "CMYK" else "png"
    Image.new(mode, (60, 40)).save(tmp_path / f"photo.{kind}")
    (found,) = photos.photos(tmp_path)
    assert opened(found).mode == "RGB" and opened(found).size == (60, 40)


def test_what_is_see_through_lies_on_white_paper(tmp_path):
    Image.new("RGBA", (60, 40), (0, 0, 0, 0)).save(tmp_path / "photo.png")
    assert opened(photos.photos(tmp_path)[0]).getpixel((30, 20)) == (255, 255, 255)


def test_a_bad_file_costs_only_itself(tmp_path, monkeypatch):
    picture(tmp_path / "photos" / "whole.jpg")
    (tmp_path / "photo.jpg").write_bytes(picture(tmp_path / "photos" / "z.jpg").read_bytes()[:700])
    (tmp_path / "photos" / "a.png").write_text("no picture")
    found = photos.photos(tmp_path)
    assert [(p.name, p.trouble) for p in found if p.trouble] == [("photo.jpg", "photo.jpg is no picture that can be read."), ("photos/a.png", "photos/a.png is no picture that can be read.")]
    assert photos.first_html(found) == "" and "whole.jpg" in photos.all_html(found)
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 100)
    assert all(p.trouble for p in photos.photos(tmp_path)), "a picture that would fill the memory is refused like a broken one"
