//! Photos are kept upright, small and bare, and nothing that is sent breaks the reader.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made;

use glost_studio::photo::{LONG, MOST_BYTES, PhotoFault, SMALL, photo};
use image::{DynamicImage, ImageFormat, Rgba, RgbaImage};
use made::{PLACE, holds, is_red, jpeg, marks, picture, remarked, written};
use proptest::prelude::*;

#[test]
fn every_remark_is_gone() {
    let sent = remarked(1, 60, 40);
    assert!(holds(&sent, PLACE) && holds(&sent, b"Exif"));
    let kept = photo(&sent).unwrap();
    for jpeg in [&kept.jpeg, &kept.thumb] {
        // JFIF's own head, tables, frame, scan: no other APP segment and no comment.
        let strange: Vec<u8> = marks(jpeg)
            .into_iter()
            .filter(|m| ![0xe0, 0xdb, 0xc0, 0xc4, 0xda].contains(m))
            .collect();
        assert_eq!(strange, Vec::<u8>::new());
        for words in [
            &b"Exif"[..],
            PLACE,
            b"xmp",
            b"ICC_PROFILE",
            b"somebody",
            b"LANTERN",
        ] {
            assert!(!holds(jpeg, words));
        }
    }
}

#[test]
fn the_picture_stands_as_its_camera_was_held() {
    // Where the red half is then: above, above, below, below, left, right, right, left.
    let red = [
        (30, 5),
        (30, 5),
        (30, 35),
        (30, 35),
        (5, 30),
        (35, 30),
        (35, 30),
        (5, 30),
    ];
    for (orientation, (x, y)) in (1..=8).zip(red) {
        let kept = photo(&remarked(orientation, 60, 40)).unwrap();
        let turned = orientation > 4;
        let size = if turned { (40, 60) } else { (60, 40) };
        assert_eq!((kept.width, kept.height), size, "{orientation}");
        let image = image::load_from_memory(&kept.jpeg).unwrap().into_rgb8();
        assert_eq!(image.dimensions(), size);
        assert!(is_red(&image, x, y), "{orientation}");
        assert!(
            !is_red(&image, size.0 - 1 - x, size.1 - 1 - y),
            "{orientation}"
        );
    }
    // A camera that knows no such number is not believed.
    assert_eq!(photo(&remarked(9, 60, 40)).unwrap().width, 60);
}

/// Made by another program (`data/make_photo.py`), with more in it than a camera writes.
#[test]
fn a_photo_from_elsewhere_is_turned_and_bare() {
    let sent = include_bytes!("../data/photo.jpg");
    assert!(holds(sent, b"LANTERNMOOR") && holds(sent, b"ICC_PROFILE"));
    let kept = photo(sent).unwrap();
    assert_eq!((kept.width, kept.height), (48, 64));
    let image = image::load_from_memory(&kept.jpeg).unwrap().into_rgb8();
    assert!(is_red(&image, 24, 6) && !is_red(&image, 24, 58));
    for words in [&b"LANTERNMOOR"[..], b"ICC_PROFILE", b"Exif"] {
        assert!(!holds(&kept.jpeg, words) && !holds(&kept.thumb, words));
    }
}

#[test]
fn large_photos_are_made_smaller_and_small_ones_stay() {
    let kept = photo(&jpeg(&picture(2400, 900))).unwrap();
    assert_eq!((kept.width, kept.height), (LONG, 600));
    let thumb = image::load_from_memory(&kept.thumb).unwrap();
    assert_eq!((thumb.width(), thumb.height()), (SMALL, 120));
    let kept = photo(&jpeg(&picture(3, 2))).unwrap();
    assert_eq!((kept.width, kept.height), (3, 2));
    let line = photo(&jpeg(&picture(4000, 1))).unwrap();
    assert_eq!((line.width, line.height), (LONG, 1));
}

#[test]
fn png_and_webp_are_taken_and_lie_on_white() {
    let clear = RgbaImage::from_fn(20, 10, |x, _| {
        Rgba([10, 10, 10, if x < 10 { 0 } else { 255 }])
    });
    let clear = DynamicImage::ImageRgba8(clear);
    for format in [ImageFormat::Png, ImageFormat::WebP] {
        let kept = photo(&written(&clear, format)).unwrap();
        let image = image::load_from_memory(&kept.jpeg).unwrap().into_rgb8();
        assert!(image.get_pixel(2, 5).0[0] > 240 && image.get_pixel(17, 5).0[0] < 30);
    }
    let deep = DynamicImage::ImageRgb8(picture(9, 9)).into_rgb16();
    assert!(photo(&written(&DynamicImage::ImageRgb16(deep), ImageFormat::Png)).is_ok());
}

#[test]
fn other_kinds_are_named() {
    let kinds: [(&[u8], &str); 13] = [
        (b"", "an empty file"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "a HEIC picture"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0", "a HEIC picture"),
        (b"\0\0\0\x18ftypavif\0\0\0\0", "an AVIF picture"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0", "a film"),
        (b"GIF89a\x01\0\x01\0", "a GIF picture"),
        (b"BM\x36\0\0\0", "a BMP picture"),
        (b"II*\0\x08\0\0\0", "a TIFF or raw picture"),
        (b"%PDF-1.7", "a PDF"),
        (
            b"<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
            "an SVG drawing",
        ),
        (b"\n<!DOCTYPE html><html>", "an HTML page"),
        (b"<?xml version=\"1.0\"?><a/>", "an XML file"),
        (b"RIFF\0\0\0\0WAVE", "no picture that is known here"),
    ];
    for (bytes, name) in kinds {
        let fault = photo(bytes).unwrap_err();
        assert_eq!(fault, PhotoFault::Kind { found: name });
        assert_eq!(
            fault.to_string(),
            format!("this is {name}; send the photo as JPEG, PNG or WebP")
        );
    }
    // A page behind the first bytes of a photo is no photo.
    let mut page = vec![0xff, 0xd8, 0xff, 0xe0];
    page.extend(b"<html><script>alert(1)</script>");
    assert!(matches!(photo(&page), Err(PhotoFault::Broken { .. })));
}

/// CRC of PNG, bit by bit.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            (c >> 1) ^ (0xedb8_8320 & (c & 1).wrapping_neg())
        })
    })
}

#[test]
fn bombs_are_refused_before_they_are_decoded() {
    let mut png = written(&DynamicImage::ImageRgb8(picture(8, 8)), ImageFormat::Png);
    png[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
    png[20..24].copy_from_slice(&60_000_u32.to_be_bytes());
    let sum = crc(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    let many = PhotoFault::TooManyPixels {
        width: 60_000,
        height: 60_000,
    };
    assert_eq!(photo(&png), Err(many.clone()));
    assert!(
        many.to_string()
            .starts_with("the photo is 60000 × 60000 pixels")
    );
    let mut jpeg = jpeg(&picture(8, 8));
    let frame = jpeg.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xf0, 0xff, 0xf0]);
    assert!(matches!(
        photo(&jpeg),
        Err(PhotoFault::TooManyPixels { .. })
    ));
    let large = photo(&vec![0xff; MOST_BYTES + 1]).unwrap_err();
    assert!(matches!(large, PhotoFault::TooLarge { .. }));
    assert!(large.to_string().starts_with("the photo has 12.0 MB"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_or_refused(
        kind in 0..4_usize,
        bytes in prop::collection::vec(any::<u8>(), 0..400),
    ) {
        let heads: [&[u8]; 4] = [b"", &[0xff, 0xd8, 0xff], b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", b"RIFF\xff\xff\0\0WEBPVP8L"];
        let _read = photo(&[heads[kind], &bytes].concat());
    }

    #[test]
    fn a_spoilt_photo_is_read_or_refused(
        kind in 0..4_usize,
        keep in 0.0..1.0_f64,
        marks in prop::collection::vec((0.0..1.0_f64, any::<u8>()), 0..6),
    ) {
        let image = DynamicImage::ImageRgb8(picture(24, 16));
        let mut bytes = match kind {
            0 => remarked(6, 24, 16),
            1 => jpeg(&picture(24, 16)),
            2 => written(&image, ImageFormat::Png),
            _ => written(&image, ImageFormat::WebP),
        };
        for (at, byte) in marks {
            let at = (bytes.len() as f64 * at) as usize;
            bytes[at] = byte;
        }
        bytes.truncate((bytes.len() as f64 * keep) as usize);
        if let Ok(kept) = photo(&bytes) {
            prop_assert!(kept.width.max(kept.height) <= LONG);
            prop_assert!(!holds(&kept.jpeg, b"Exif"));
        }
    }
}
