"""What kind of picture some bytes are, judged by the bytes themselves and by nothing that is said of them."""

import io
import struct
import zlib
from concurrent.futures import ThreadPoolExecutor

from PIL import Image

# The kinds kept, by the name Pillow gives a format (MPO: a JPEG file with further pictures behind the first).
MIMES = {"JPEG": "image/jpeg", "MPO": "image/jpeg", "WEBP": "image/webp", "PNG": "image/png"}
SUFFIXES = {"image/jpeg": ".jpeg", "image/webp": ".webp", "image/png": ".png"}
# A phone sends at most 2048 × 2048; what unpacks to more than this is no photo of a vessel.
MOST_PIXELS = 5_000_000
# A picture takes four bytes a point while it is judged, so each process judges one at a time; and in one thread, since
# an allocator keeps for each thread what that one has given back.
_one_at_a_time = ThreadPoolExecutor(1, thread_name_prefix="pictures")
# What Pillow raises on bytes that are damaged or made to harm.
_BROKEN = (OSError, EOFError, SyntaxError, ValueError, struct.error, zlib.error, Image.DecompressionBombError)


class PictureError(ValueError):
    """Bytes that are no picture of a kind that is kept."""


def mime_of(data: bytes) -> str:
    """The media type of a whole, sound JPEG, WebP or PNG picture.

    Its size is read from its head first, and only a picture of bounded size is unpacked, so that a few bytes
    cannot claim much memory. A JPEG is unpacked at an eighth of its size: every byte of it is read all the same.
    """
    return _one_at_a_time.submit(_judged, data).result()


def _judged(data: bytes) -> str:
    try:
        with _opened(data) as picture:
            picture.verify()  # the checksums of a PNG, which unpacking passes over
        with _opened(data) as picture:
            mime = MIMES[picture.format or ""]
            picture.draft(None, (picture.width // 8, picture.height // 8))
            picture.load()
    except PictureError:
        raise
    except _BROKEN as error:
        raise PictureError("This is no whole JPEG, WebP or PNG picture.") from error
    return mime


def _opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data), formats=["JPEG", "WEBP", "PNG"])
    if picture.width * picture.height > MOST_PIXELS:
        raise PictureError(
            f"The picture has {picture.width} × {picture.height} points; {MOST_PIXELS} are the most."
        )
    return picture
