"""Makes photo.jpg with Pillow 13 (PyPI): held on its side, with place, colour profile and remarks.

Red is above and blue below once it is turned as its camera says (EXIF orientation 6: clockwise).
"""
from PIL import Image, ImageCms
from PIL.ExifTags import GPS, Base, IFD

upright = Image.new("RGB", (48, 64), (20, 20, 220))
upright.paste((220, 20, 20), (0, 0, 48, 32))
held = upright.transpose(Image.Transpose.ROTATE_90)
exif = Image.Exif()
exif[Base.Orientation] = 6
exif[Base.Make] = "LANTERNMOOR"
exif.get_ifd(IFD.GPSInfo).update(
    {GPS.GPSLatitudeRef: "N", GPS.GPSLatitude: (51.0, 30.0, 26.0), GPS.GPSAreaInformation: b"LANTERNMOOR"}
)
held.save(
    "photo.jpg",
    exif=exif,
    icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
    xmp=b"<x:xmpmeta>LANTERNMOOR</x:xmpmeta>",
    comment=b"LANTERNMOOR",
    progressive=True,
    quality=92,
)
