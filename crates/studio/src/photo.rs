//! A photo of ware, made fit to keep: turned upright, smaller, and without anything in it but the
//! picture.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};
use thiserror::Error;

/// Most bytes of a photo that comes in.
pub const MOST_BYTES: usize = 12 * 1024 * 1024;
/// Most pixels of a photo that comes in; telephones take up to 50 million.
pub const MOST_PIXELS: u64 = 52_000_000;
/// Longest side of the photo that is kept, pixels.
pub const LONG: u32 = 1600;
/// Longest side of its small copy, pixels.
pub const SMALL: u32 = 320;

/// Most bytes that one picture may take while it is decoded.
const MOST_ROOM: u64 = 4 * MOST_PIXELS;
const QUALITY: u8 = 82;

/// A photo as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// JPEG with a longest side of at most [`LONG`].
    pub jpeg: Vec<u8>,
    /// JPEG with a longest side of at most [`SMALL`].
    pub thumb: Vec<u8>,
    /// Width of `jpeg`, pixels.
    pub width: u32,
    /// Height of `jpeg`, pixels.
    pub height: u32,
}

/// Why a photo is not taken.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PhotoFault {
    /// Too many bytes.
    #[error("the photo has {:.1} MB; at most 12 MB are taken. Send a smaller copy", *bytes as f64 / 1_048_576.0)]
    TooLarge {
        /// How many it has.
        bytes: usize,
    },
    /// Another kind of file.
    #[error("this is {found}; send the photo as JPEG, PNG or WebP")]
    Kind {
        /// What it is, in words.
        found: &'static str,
    },
    /// Too many pixels, whatever its bytes.
    #[error(
        "the photo is {width} × {height} pixels; at most 52 million in all are taken, half as many with 16 bits a colour. Send a smaller copy"
    )]
    TooManyPixels {
        /// Its width.
        width: u32,
        /// Its height.
        height: u32,
    },
    /// It claims to be a photo and cannot be read as one.
    #[error("the photo cannot be read: {why}. Open it, save it again as JPEG, and send that")]
    Broken {
        /// What the decoder says.
        why: String,
    },
}

/// Reads a photo and makes it fit to keep. The kind is told by its content, whatever its name.
/// Bytes, kind and pixels are checked before anything is decoded. The picture is turned as its
/// camera says, transparent parts become white, and it is written anew, so that place, time, camera
/// and every other remark in the file are gone. Small pictures are not enlarged. Colours are taken
/// as sRGB: those of a photo with another colour space change a little.
///
/// # Errors
/// [`PhotoFault`]. A photo whose end is missing is taken as far as its decoder can read it.
pub fn photo(bytes: &[u8]) -> Result<Photo, PhotoFault> {
    if bytes.len() > MOST_BYTES {
        return Err(PhotoFault::TooLarge { bytes: bytes.len() });
    }
    let format = kind(bytes).map_err(|found| PhotoFault::Kind { found })?;
    let image = decode(bytes, format)?;
    let large = opaque(fit(image, LONG));
    let small = fit(DynamicImage::ImageRgb8(large.clone()), SMALL).into_rgb8();
    Ok(Photo {
        jpeg: encode(&large)?,
        thumb: encode(&small)?,
        width: large.width(),
        height: large.height(),
    })
}

fn broken(e: &image::ImageError) -> PhotoFault {
    PhotoFault::Broken { why: e.to_string() }
}

/// The kind by its first bytes, or what it is instead.
fn kind(bytes: &[u8]) -> Result<ImageFormat, &'static str> {
    let starts = |mark: &[u8]| bytes.starts_with(mark);
    let at = |from: usize, mark: &[u8]| bytes.get(from..).is_some_and(|b| b.starts_with(mark));
    if starts(&[0xff, 0xd8, 0xff]) {
        return Ok(ImageFormat::Jpeg);
    }
    if starts(b"\x89PNG\r\n\x1a\n") {
        return Ok(ImageFormat::Png);
    }
    if starts(b"RIFF") && at(8, b"WEBP") {
        return Ok(ImageFormat::WebP);
    }
    let brand = |brands: &[&[u8]]| at(4, b"ftyp") && brands.iter().any(|b| at(8, b));
    Err(if bytes.is_empty() {
        "an empty file"
    } else if brand(&[b"avif", b"avis"]) {
        "an AVIF picture"
    } else if brand(&[b"hei", b"hev", b"mif1", b"msf1"]) {
        "a HEIC picture"
    } else if at(4, b"ftyp") {
        "a film"
    } else if starts(b"GIF8") {
        "a GIF picture"
    } else if starts(b"BM") {
        "a BMP picture"
    } else if starts(b"II*\0") || starts(b"MM\0*") {
        "a TIFF or raw picture"
    } else if starts(b"%PDF") {
        "a PDF"
    } else if starts(b"PK\x03\x04") {
        "a ZIP or office file"
    } else {
        text_kind(bytes)
    })
}

/// Kinds that are written as text, whatever stands before their first mark.
fn text_kind(bytes: &[u8]) -> &'static str {
    let head = bytes.get(..1024).unwrap_or(bytes);
    let head = String::from_utf8_lossy(head).to_lowercase();
    if head.contains("<svg") {
        "an SVG drawing"
    } else if head.contains("<html") || head.contains("<!doctype html") || head.contains("<script")
    {
        "an HTML page"
    } else if head
        .trim_start_matches('\u{feff}')
        .trim_start()
        .starts_with("<?xml")
    {
        "an XML file"
    } else {
        "no picture that is known here"
    }
}

fn decode(bytes: &[u8], format: ImageFormat) -> Result<DynamicImage, PhotoFault> {
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_ROOM);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|e| broken(&e))?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS || decoder.total_bytes() > MOST_ROOM {
        return Err(PhotoFault::TooManyPixels { width, height });
    }
    // A photo whose remarks are spoilt is still a photo.
    let turn = decoder.orientation().ok();
    let mut image = DynamicImage::from_decoder(decoder).map_err(|e| broken(&e))?;
    if let Some(turn) = turn {
        image.apply_orientation(turn);
    }
    Ok(image)
}

fn fit(image: DynamicImage, longest: u32) -> DynamicImage {
    if image.width().max(image.height()) <= longest {
        return image;
    }
    image.resize(longest, longest, FilterType::CatmullRom)
}

/// Lays the picture on white: JPEG knows no transparency.
fn opaque(image: DynamicImage) -> RgbImage {
    if !image.color().has_alpha() {
        return image.into_rgb8();
    }
    let image = image.into_rgba8();
    let mut out = RgbImage::new(image.width(), image.height());
    for (to, from) in out.pixels_mut().zip(image.pixels()) {
        let [r, g, b, a] = from.0.map(u32::from);
        let over = |c: u32| ((c * a + 255 * (255 - a) + 127) / 255) as u8;
        to.0 = [over(r), over(g), over(b)];
    }
    out
}

/// The encoder writes the picture and nothing of where it came from.
fn encode(image: &RgbImage) -> Result<Vec<u8>, PhotoFault> {
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    image.write_with_encoder(encoder).map_err(|e| broken(&e))?;
    Ok(out)
}
