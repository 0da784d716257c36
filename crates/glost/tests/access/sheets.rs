//! A sheet of five thousand pieces with planted faults, and sheets that are none.

use crate::studio::{Studio, between, form};

const HEAD: &str = "id,what,maker,shape,size,foot_size,height,mass,wall,clay,glazes,foot,glaze_margin,dryness,delicacy,stage,cone,due,came_in,priority,group\n";

fn line(n: usize) -> String {
    format!(
        "S{n:05},mug,Maker {},circle,90,70,100,0.4,5,Heatherstone,,bare,,bone-dry,,greenware,,,,,\n",
        n % 40
    )
}

fn look(studio: &Studio, text: &[u8]) -> (u16, String) {
    let answer = studio.files(&studio.nia, "/ware/sheet", "sheet", text);
    (answer.code, answer.text())
}

/// The list of what was brought in.
fn many(studio: &Studio) -> String {
    studio.get(&studio.nia, "/ware?words=maker+mug").text()
}

#[test]
fn faults_are_named_by_line_and_field_before_anything_is_stored() {
    let studio = Studio::start(false, "sheet");
    let good: Vec<String> = (1..=5_000).map(line).collect();
    let mut bad = good.clone();
    // Line of the file, field, and what is put there.
    let planted = [
        (7, "height", "100", "tall"),
        (512, "mass", "0.4", "-1"),
        (1_000, "size", ",90,", ",1e999,"),
        (2_001, "stage", "greenware", "=cmd"),
        (3_333, "dryness", "bone-dry", "wet"),
        (4_096, "id", "S04095", "S00001"),
        (4_500, "what", "mug", "<script>alert(1)</script>"),
        (5_001, "wall", ",5,", ",٣,"),
    ];
    for (at, _, from, to) in planted {
        let row = &mut bad[at - 2];
        assert!(row.contains(from), "{row}");
        *row = row.replacen(from, to, 1);
    }
    let before = studio.export();
    let (code, page) = look(&studio, format!("{HEAD}{}", bad.concat()).as_bytes());
    assert_eq!(code, 200);
    assert!(
        page.contains("4993 of 5000 lines can be stored, 7 have faults"),
        "{}",
        between(&page, "p class=\"lead\"", "</p>")
    );
    let told: Vec<(String, String)> = page
        .split("<tr><th scope=\"row\">")
        .skip(1)
        .filter_map(|row| {
            let (line, rest) = row.split_once("</th><td>")?;
            Some((line.to_owned(), rest.split_once("</td>")?.0.to_owned()))
        })
        .take(7)
        .collect();
    let expected: Vec<(String, String)> = planted
        .iter()
        .filter(|p| p.1 != "what")
        .map(|p| (p.0.to_string(), p.1.to_owned()))
        .collect();
    assert_eq!(told, expected);
    assert!(!page.contains("<script>alert"), "it is told as text");
    assert!(studio.export() == before, "looking stores nothing");

    // Mended and taken in, all or nothing.
    let text = format!("{HEAD}{}", good.concat());
    let (_, page) = look(&studio, text.as_bytes());
    assert!(page.contains("5000 of 5000 lines can be stored."));
    let answer = studio.post(
        &studio.nia,
        "/ware/sheet/take-in",
        &form(&[("text", text.as_str())]),
    );
    assert_eq!(answer.code, 303, "{}", answer.text());
    let book = studio.export();
    for n in [1, 2_500, 5_000] {
        assert!(book.contains(&format!("S{n:05}")), "{n}");
    }
    assert_eq!(studio.get(&studio.nia, "/ware/S05000").code, 200);
    assert!(
        many(&studio).contains("Page 1 of 84"),
        "5000 on pages of 60"
    );

    // The same again is noticed, in the preview and when it is sent without one.
    let (_, page) = look(&studio, text.as_bytes());
    assert!(page.contains("0 of 5000 lines can be stored"));
    assert!(page.contains("the studio has a piece S00001 already"));
    let before = studio.export();
    let again = studio.post(
        &studio.nia,
        "/ware/sheet/take-in",
        &form(&[("text", text.as_str())]),
    );
    assert_eq!(again.code, 409);
    assert!(studio.export() == before);
    // One undo takes all of it back.
    let turn = answer
        .header("location")
        .unwrap()
        .rsplit('=')
        .next()
        .unwrap()
        .to_owned();
    assert_eq!(
        studio.post(&studio.nia, &format!("/undo/{turn}"), "").code,
        303
    );
    assert!(!many(&studio).contains("Page 1 of 84"));
}

#[test]
fn what_is_no_sheet_is_told() {
    let studio = Studio::start(false, "nosheet");
    let wide: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(format!("{HEAD}{}", line(1)).bytes().flat_map(|b| [b, 0]))
        .collect();
    let latin: Vec<u8> = format!("{HEAD}{}", line(1))
        .replace("mug", "th\u{1}e")
        .bytes()
        .map(|b| if b == 1 { 0xe9 } else { b })
        .collect();
    for (what, bytes, code, words) in [
        ("empty", Vec::new(), 200, "there is nothing in it"),
        (
            "blank",
            b" \r\n\r\n".to_vec(),
            200,
            "there is nothing in it",
        ),
        (
            "header alone",
            HEAD.as_bytes().to_vec(),
            200,
            "there is no piece below its first line",
        ),
        ("wide letters", wide, 422, "UTF-16"),
        (
            "one byte letters",
            latin,
            422,
            "line 2 of the sheet is not UTF-8 text",
        ),
        (
            "other sign",
            format!("{HEAD}{}", line(1)).replace(',', "|").into_bytes(),
            200,
            "is not a column of this sheet",
        ),
        (
            "a picture",
            b"\x89PNG\r\n\x1a\n\0\0".to_vec(),
            422,
            "no text",
        ),
        (
            "a zero",
            format!("{HEAD}{}", line(1))
                .replace("mug", "m\0g")
                .into_bytes(),
            422,
            "no text",
        ),
        (
            "a quote left open",
            format!("{HEAD}{}", line(1))
                .replace("mug", "\"mug")
                .into_bytes(),
            200,
            "0 of 1 lines",
        ),
        (
            "a long cell",
            format!("{HEAD}{}", line(1))
                .replace("mug", &"m".repeat(10_000))
                .into_bytes(),
            200,
            "has 10000 characters",
        ),
        (
            "a long name",
            format!("{HEAD}{}", line(1))
                .replace("Maker 1", &"m".repeat(61))
                .into_bytes(),
            200,
            "61 letters is too long",
        ),
    ] {
        let (found, page) = look(&studio, &bytes);
        assert_eq!(found, code, "{what}: {page}");
        assert!(page.contains(words), "{what}: {page}");
        assert!(!page.contains("\">Store "), "{what} cannot be stored");
    }
    // Semicolons are fine.
    let (_, page) = look(
        &studio,
        format!("{HEAD}{}", line(1)).replace(',', ";").as_bytes(),
    );
    assert!(page.contains("1 of 1 lines can be stored"));
    let all: String = (1..=20_001).map(line).collect();
    let (code, page) = look(&studio, format!("{HEAD}{all}").as_bytes());
    assert_eq!(code, 200);
    assert!(page.contains("has 20001 lines, more than 20000"), "{page}");
}
