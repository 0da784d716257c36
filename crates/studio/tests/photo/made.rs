//! Pictures made for the tests, and looks into what comes back.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

/// Red above, blue below.
pub fn picture(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |_, y| {
        Rgb(if y < height / 2 {
            [220, 20, 20]
        } else {
            [20, 20, 220]
        })
    })
}

pub fn jpeg(image: &RgbImage) -> Vec<u8> {
    let mut out = Vec::new();
    image
        .write_with_encoder(JpegEncoder::new_with_quality(&mut out, 95))
        .unwrap();
    out
}

pub fn written(image: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    image.write_to(&mut out, format).unwrap();
    out.into_inner()
}

pub const PLACE: &[u8] = b"51 30 26 N LANTERNMOOR";

/// A segment with EXIF: how the camera was held, and where (a GPS directory with a text).
fn exif(orientation: u8) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08".to_vec();
    tiff.extend([0, 2]);
    // Orientation, a short; GPS directory, at 38.
    tiff.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0]);
    tiff.extend([0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38]);
    tiff.extend([0, 0, 0, 0]);
    // GPSAreaInformation, at 56.
    tiff.extend([0, 1, 0, 0x1c, 0, 7, 0, 0, 0, PLACE.len() as u8, 0, 0, 0, 56]);
    tiff.extend([0, 0, 0, 0]);
    tiff.extend(PLACE);
    let mut segment = b"Exif\0\0".to_vec();
    segment.extend(tiff);
    segment
}

/// Puts segments behind the first mark of a JPEG.
pub fn with_segments(jpeg: &[u8], segments: &[(u8, Vec<u8>)]) -> Vec<u8> {
    let mut out = jpeg[..2].to_vec();
    for (mark, body) in segments {
        let length = u16::try_from(body.len() + 2).unwrap();
        out.extend([0xff, *mark]);
        out.extend(length.to_be_bytes());
        out.extend(body);
    }
    out.extend(&jpeg[2..]);
    out
}

pub fn remarked(orientation: u8, width: u32, height: u32) -> Vec<u8> {
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>LANTERNMOOR</x:xmpmeta>".to_vec();
    let icc = b"ICC_PROFILE\0\x01\x01 (c) somebody".to_vec();
    let note = b"taken by somebody".to_vec();
    let segments = [
        (0xe1, exif(orientation)),
        (0xe1, xmp),
        (0xe2, icc),
        (0xfe, note),
    ];
    with_segments(&jpeg(&picture(width, height)), &segments)
}

/// The marks of a JPEG's segments, up to the picture itself.
pub fn marks(jpeg: &[u8]) -> Vec<u8> {
    let mut at = 2;
    let mut marks = Vec::new();
    loop {
        assert_eq!(jpeg[at], 0xff);
        marks.push(jpeg[at + 1]);
        if jpeg[at + 1] == 0xda {
            return marks;
        }
        at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
    }
}

pub fn holds(bytes: &[u8], words: &[u8]) -> bool {
    bytes.windows(words.len()).any(|w| w == words)
}

pub fn is_red(image: &RgbImage, x: u32, y: u32) -> bool {
    let [r, _, b] = image.get_pixel(x, y).0;
    r > b
}
