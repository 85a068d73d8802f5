"""The process that decodes one file and ends: `python -m …decode_worker picture|clip|bare`, the file on standard
input.

It answers with one line of JSON and then the pixels; for a clip, so for each frame. It bounds its own memory and time
before it looks at the first byte.
"""

import io
import json
import sys
from typing import IO, Any

# Room for one picture at the cap and for the decoder's own tables.
_MOST_BYTES = 3_000_000_000
_MOST_SECONDS = 300
_PIXEL_CAP = 80_000_000
_KINDS = ("JPEG", "PNG", "WEBP")
# A list of other files (a playlist) would have the decoder open them: only files that hold the clip itself are read.
_CONTAINERS = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi"
_IN_MP4 = {"h264", "hevc", "mpeg4", "av1", "libdav1d"}
_FRAME_CAP = 4_000
_FRAME_PIXEL_CAP = 9_000_000
# Above this a frame is made smaller: full HD is enough for any cell, and 4K costs four times as long.
_FRAME_MOST_PIXELS = 2_100_000
_TURNED = {5, 6, 7, 8}
_ORIENTATION = 0x0112
_NO_PICTURE = "This file is not a picture that can be read; choose a JPEG, PNG or WebP file."
_DAMAGED = "This picture is damaged and cannot be read; take it or send it again."
_NO_CLIP = "This file is not a clip that can be read; choose an MP4, MOV, WebM, MKV or AVI file."


class _Refused(Exception):
    """What is wrong with the file, in one sentence."""


def _bound() -> None:
    try:
        import resource  # noqa: PLC0415 - there is none on every system
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (_MOST_BYTES, _MOST_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (_MOST_SECONDS, _MOST_SECONDS))


def _say(out: IO[bytes], told: dict[str, Any], body: bytes = b"") -> None:
    out.write(json.dumps(told).encode() + b"\n" + body)
    out.flush()


def _picture(content: bytes, most_pixels: int, out: IO[bytes]) -> None:
    from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415 - loaded where it is used

    Image.MAX_IMAGE_PIXELS = None  # the cap below is ours, and is asked of the head alone
    try:
        with Image.open(io.BytesIO(content), formats=_KINDS) as picture:
            full_width, full_height = picture.size
            wanted = _wanted(full_width, full_height, most_pixels)
            picture.draft("RGB", wanted)  # a JPEG is decoded at a half or a quarter where that is enough
            plain = picture.convert("RGB")
            if plain.size != wanted:
                plain = plain.resize(wanted, Image.Resampling.BOX)
            if plain.getexif().get(_ORIENTATION) in _TURNED:
                full_width, full_height = full_height, full_width
            upright = ImageOps.exif_transpose(plain)
    except UnidentifiedImageError:
        raise _Refused(_NO_PICTURE) from None
    except (OSError, SyntaxError, ValueError, MemoryError):
        raise _Refused(_DAMAGED) from None
    told = {"width": upright.width, "height": upright.height, "full_width": full_width, "full_height": full_height}
    _say(out, told, upright.tobytes())


def _wanted(width: int, height: int, most_pixels: int) -> tuple[int, int]:
    """Return the size to work at; a picture over the cap is refused before anything of it is decoded."""
    if width * height > _PIXEL_CAP:
        millions = _PIXEL_CAP // 1_000_000
        raise _Refused(f"This picture is too large: up to {millions} million pixels are read. Make it smaller first.")
    shrink = min(1.0, (most_pixels / (width * height)) ** 0.5)
    return max(1, round(width * shrink)), max(1, round(height * shrink))


def _clip(file: IO[bytes], out: IO[bytes]) -> None:
    import av  # noqa: PLC0415 - loaded where it is used

    try:
        with av.open(file, "r", options={"format_whitelist": _CONTAINERS, "protocol_whitelist": "none"}) as clip:
            if not clip.streams.video:
                raise _Refused(_NO_CLIP)
            stream = clip.streams.video[0]
            stream.thread_type = "AUTO"
            given = _send_frames(clip.decode(stream), out)
    except (av.FFmpegError, ValueError, MemoryError):
        raise _Refused(_NO_CLIP) from None
    if not given:
        raise _Refused("No frame of this clip could be decoded; save it as an MP4 file and try again.")
    _say(out, {"end": True})


def _bare(file: IO[bytes], out: IO[bytes]) -> None:
    """Send the clip's pictures alone, as they were filmed, in a new file without sound, place, maker or any word."""
    import av  # noqa: PLC0415 - loaded where it is used

    bare = io.BytesIO()
    try:
        with av.open(file, "r", options={"format_whitelist": _CONTAINERS, "protocol_whitelist": "none"}) as clip:
            if not clip.streams.video:
                raise _Refused(_NO_CLIP)
            stream = clip.streams.video[0]
            kind = "mp4" if stream.codec_context.name in _IN_MP4 else "matroska"
            with av.open(bare, "w", format=kind) as copy:
                copied = copy.add_stream_from_template(stream)
                copied.metadata.clear()
                last = _copy_packets(clip.demux(stream), copied, copy)
            told = {"kind": kind, "width": stream.width, "height": stream.height, "seconds": last}
    except (av.FFmpegError, ValueError, MemoryError):
        raise _Refused(_NO_CLIP) from None
    if not told["width"] or not bare.tell():
        raise _Refused(_NO_CLIP)
    _say(out, told, bare.getvalue())


def _copy_packets(packets: Any, stream: Any, copy: Any) -> float:
    """Copy what is filmed; return how long it lasts."""
    first = last = None
    for packet in packets:
        if packet.pts is None:
            continue
        moment = float(packet.pts * packet.time_base)
        first = moment if first is None else min(first, moment)
        last = moment if last is None else max(last, moment)
        packet.stream = stream
        copy.mux(packet)
    return 0.0 if first is None or last is None else last - first


def _send_frames(frames: Any, out: IO[bytes]) -> int:
    """Send each frame that says its time, in grey; return how many were sent."""
    first: float | None = None
    given = 0
    for frame in frames:
        if frame.width * frame.height > _FRAME_PIXEL_CAP:
            raise _Refused("This clip's frames are too large: up to 4K is read. Film or save it smaller.")
        if frame.time is None:
            continue
        if given == _FRAME_CAP:
            raise _Refused(f"This clip is too long: up to {_FRAME_CAP} frames are read. Cut it to half a minute.")
        first = frame.time if first is None else first
        width, height = _frame_size(frame.width, frame.height)
        grey = frame.reformat(width=width, height=height, format="gray").to_ndarray()
        told = {"time_s": frame.time - first, "width": width, "height": height, "full_width": frame.width}
        _say(out, told, grey.tobytes())
        given += 1
    return given


def _frame_size(width: int, height: int) -> tuple[int, int]:
    shrink = min(1.0, (_FRAME_MOST_PIXELS / (width * height)) ** 0.5)
    return round(width * shrink), round(height * shrink)


def main(arguments: list[str]) -> None:
    """Decode standard input as told, or say in one line of JSON why not."""
    _bound()
    out = sys.stdout.buffer
    try:
        if arguments[0] == "picture":
            _picture(sys.stdin.buffer.read(), int(arguments[1]), out)
        elif arguments[0] == "bare":
            _bare(sys.stdin.buffer, out)
        else:
            _clip(sys.stdin.buffer, out)
    except _Refused as problem:
        _say(out, {"refused": str(problem)})
    except BrokenPipeError:  # whoever asked has seen enough
        sys.stderr.close()


if __name__ == "__main__":
    main(sys.argv[1:])
