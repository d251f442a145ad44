"""A printed page as a camera sees it: turned, blurred, in poor light, on a noisy sensor."""

from __future__ import annotations

import io
from datetime import date

import numpy as np
from PIL import Image, ImageFilter

from breadline.sheets.hive_tags import tags_data
from breadline.sheets.labels import LabelSheet
from breadline.sheets.printed import printed

PRINTER = 300  # pixels an inch


def tags_page(tags: list[str], sheet: LabelSheet) -> Image.Image:
    """The page of a sheet of tags as it comes out of a printer, in shades of grey."""
    png = printed("hive_tags.typ", tags_data(tags, sheet), date(2026, 1, 1), "png", PRINTER)
    return Image.open(io.BytesIO(png)).convert("L")


def photographed(page: Image.Image, turned: float = 10.0, blur: float = 2.5) -> Image.Image:
    """A page [degrees turned, blurred by so many pixels]; its dark is no black, and its white no white."""
    seen = page.rotate(turned, Image.Resampling.BILINEAR, expand=True, fillcolor=255)
    shades = np.asarray(seen.filter(ImageFilter.GaussianBlur(blur)), dtype=np.float32)
    high, wide = shades.shape
    falls_off = np.linspace(0.55, 0.75, high, dtype=np.float32)[:, None]
    falls_off = falls_off + np.linspace(0.0, 0.15, wide, dtype=np.float32)[None, :]
    noise = np.random.default_rng(7).normal(0, 4, (high, wide))
    return Image.fromarray(np.clip((70 + 0.55 * shades) * falls_off + noise, 0, 255).astype(np.uint8))
