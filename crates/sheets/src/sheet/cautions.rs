//! Cautions, each beside the work that it belongs to.

use serde::Serialize;

/// What a person should mind, by the moment it matters.
#[derive(Debug, Serialize)]
pub struct Cautions {
    /// Above all others, on the first page.
    pub first: &'static [&'static str],
    /// When furniture is fetched and the kiln is loaded.
    pub fetch: &'static [&'static str],
    /// Before the start.
    pub start: &'static [&'static str],
    /// At the kiln while it fires.
    pub hand: &'static [&'static str],
    /// At the end of the firing.
    pub end: &'static [&'static str],
    /// When it is opened and unloaded.
    pub open: &'static [&'static str],
    /// When a kiln is looked after or repaired.
    pub repair: &'static [&'static str],
    /// In case of the worst.
    pub fire: &'static [&'static str],
    /// What comes before all that Glost says.
    pub defer: &'static str,
}

/// The cautions: common practice, no source; local law, the nameplate and employers' rules decide.
pub const CAUTIONS: Cautions = Cautions {
    first: &[
        "Electricity: switch the kiln off at its isolator before you reach in, and keep it off while anybody does. Elements can be live while lid or door stands open, also when it is propped. Fixed wiring only, no extension leads.",
        "Glost only advises. It does not switch the kiln off: the kiln needs its own over-temperature cut-out that works on its own, tested as its maker says.",
    ],
    fetch: &[
        "Lifting: two people for a large shelf or a heavy piece, and mind your back over a deep kiln.",
        "Dust of kiln wash, clay and fibre harms lungs: wipe wet, never sweep or sand dry, wear a respirator when you scrape. Glasses and gloves against sharp slivers.",
    ],
    start: &[
        "Fumes: every firing gives off fumes, carbon monoxide among them. Run the ventilation to the outdoors from the start until the kiln is cold, keep a carbon monoxide alarm in the room, and stay out of a room that is not aired.",
        "Fire: keep all that burns as far away as the nameplate and local rules say. Nothing is stored on or under the kiln. Keep children and visitors out; show that the kiln is on or hot, and lock it against meddling where others can reach it.",
        "Health: who is pregnant, young or has asthma keeps away from fumes and dust more than others need to.",
    ],
    hand: &[
        "Eyes: look through a peephole only with glasses made for infra-red, as welders wear; sunglasses are not enough. Stand clear of the hot draught.",
        "Burns: the case, plugs and lid are hot from the first hour. Wear gloves made for heat.",
    ],
    end: &[
        "Do not leave the kiln alone at the end: controllers, relays and switches can stick. Someone sees with their own eyes that it has switched off, by the time written here and a little after.",
    ],
    open: &[
        "Food: fired is not the same as safe for food; only a laboratory can say.",
        "Burns: the ware and the case stay hot for a day. Do not open before the kiln is as cool as your rules ask; isolate it, wear heat gloves and glasses, and mind sharp slivers of glaze.",
    ],
    repair: &[
        "Electricity: only a competent person opens the case, reads resistances or changes parts, with the plug out or the isolator off, locked off and tagged, and the kiln cold. Wiring is for a licensed electrician.",
        "Dust of wash, brick and fibre harms lungs: scrape and clean wet, wear a respirator. Old linings may hold asbestos: leave them to those who are licensed for it.",
    ],
    fire: &[
        "Fire or a smell of burning: isolate from outside, do not open, leave and call for help.",
    ],
    defer: "Local codes, the kiln's nameplate, the makers' instructions and the rules of the house come before this sheet. Wiring and repair are for licensed trades. In case of fire or a smell of burning: isolate from outside, do not open, leave and call for help.",
};
