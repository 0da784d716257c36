"""Reads the square codes in pictures of pages with zxing-cpp.

Usage: read_codes.py PICTURE...
Prints a JSON list a picture: of each code its text, the corner at its top left and at its bottom right in pixels, its
level of correction, from top to bottom and left to right.
"""

import json
import sys

import zxingcpp
from PIL import Image

# A page of labels at 200 dots an inch is no bomb.
Image.MAX_IMAGE_PIXELS = None

pages = []
for name in sys.argv[1:]:
    found = zxingcpp.read_barcodes(Image.open(name), formats=zxingcpp.BarcodeFormat.QRCode)
    codes = [
        {
            "text": code.text,
            "top_left": [code.position.top_left.x, code.position.top_left.y],
            "bottom_right": [code.position.bottom_right.x, code.position.bottom_right.y],
            "level": code.ec_level,
        }
        for code in found
    ]
    codes.sort(key=lambda c: (round(c["top_left"][1] / 20), c["top_left"][0]))
    pages.append(codes)
json.dump(pages, sys.stdout, ensure_ascii=True)
