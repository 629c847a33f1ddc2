"""Pictures of the aeroplane: reduced and put into the record, the originals listed with their checksums."""

import base64
import hashlib
import html
import io
from dataclasses import dataclass

KINDS = (".jpg", ".jpeg", ".png")
FOLDER = "photos"
MOST, PIXELS, FIRST_PIXELS, QUALITY = 12, 900, 1200, 82


@dataclass(frozen=True)
class Photo:
    """A picture file of the build: its name, its checksum, its picture reduced as data of an <img> ('' when it cannot be read or is one too many)."""

    name: str
    bytes: int
    checksum: str
    data: str
    trouble: str = ""


def photos(place):
    """The pictures of a build: photo.jpg (the one of the first sheet) and photo*.jpg beside the record, then those in photos/ by name."""
    found = sorted((p for p in place.glob("photo*") if _is_picture(p)), key=lambda p: (p.stem.lower() != "photo", p.name.lower()))
    found += sorted((p for p in (place / FOLDER).glob("*") if _is_picture(p)), key=lambda p: p.name.lower()) if (place / FOLDER).is_dir() else []
    return [_photo(path, path.relative_to(place).as_posix(), number) for number, path in enumerate(found)]


def _is_picture(path):
    return path.is_file() and path.suffix.lower() in KINDS


def _photo(path, name, number):
    try:
        raw = path.read_bytes()
    except OSError as error:
        return Photo(name, 0, "", "", f"{name} could not be read ({error.strerror or error}).")
    checksum = hashlib.sha256(raw).hexdigest()
    if number >= MOST:
        return Photo(name, len(raw), checksum, "", "")
    try:
        data = _reduced(raw, FIRST_PIXELS if number == 0 else PIXELS)
    except Exception:  # a damaged or hostile file may fail anywhere in the reader; it costs the record nothing but this picture
        return Photo(name, len(raw), checksum, "", f"{name} is no picture that can be read.")
    return Photo(name, len(raw), checksum, data)


def _reduced(raw, pixels):
    """The picture upright, smaller, without anything the camera wrote into it."""
    from PIL import Image, ImageOps

    with Image.open(io.BytesIO(raw), formats=("JPEG", "PNG")) as picture:
        picture.draft("RGB", (2 * pixels, 2 * pixels))
        turned = ImageOps.exif_transpose(picture)
        if turned.mode in ("RGBA", "LA", "PA") or "transparency" in turned.info:
            paper = Image.new("RGBA", turned.size, "white")
            paper.alpha_composite(turned.convert("RGBA"))
            turned = paper
        small = turned.convert("RGB")
    small.thumbnail((pixels, pixels))
    small.info.clear()
    store = io.BytesIO()
    small.save(store, "JPEG", quality=QUALITY)
    return base64.b64encode(store.getvalue()).decode()


def first_html(found):
    """The picture of the first sheet, or what is the matter with it."""
    if not found:
        return '<p class="small">No picture: a photo.jpg in the build folder goes here.</p>\n'
    return _img(found[0], "photo") if found[0].data else ""


def _img(photo, kind="picture"):
    return f'<img class="{kind}" alt="the aeroplane: {html.escape(photo.name, quote=True)}" src="data:image/jpeg;base64,{photo.data}">\n'


def all_html(found):
    """The other pictures with their names, and the list of the originals; '' when there are none."""
    if not found:
        return ""
    e = html.escape
    shown = "".join(f"<figure>{_img(p)}<figcaption>{e(p.name)}</figcaption></figure>\n" for p in found[1:] if p.data)
    more = len(found) - MOST
    rows = "".join(f'<tr><td>{e(p.name)}</td><td>{p.bytes / 1e6:.2f} MB</td><td><code class="sum">{p.checksum}</code></td><td>{e(p.trouble or ("in this record, reduced" if p.data else "not shown"))}</td></tr>\n'
                   for p in found)
    said = f"<p>{MOST} pictures go into a record; {more} more {'is' if more == 1 else 'are'} listed only.</p>\n" if more > 0 else ""
    return (f'<section>\n<h2>Pictures</h2>\n<div class="photos">{shown}</div>\n{said}<h3>The originals, beside build.toml</h3>\n'
            f"<table><tr><th>file</th><th>size</th><th>SHA-256</th><th>here</th></tr>\n{rows}</table>\n</section>")
