//! Help for fields at which people err, by the field's name in its form.

/// Name of the field, and a paragraph each.
pub(super) const ALL: &[(&str, &[&str])] = &[
    (
        "cone",
        &[
            "Cones with a zero count backwards: cone 06 is down at about 1000 °C (1830 °F), cone 6 at about 1220 °C (2230 °F). One for the other melts low-firing clay onto the shelves, or leaves stoneware raw.",
            "Read it off the bag of the clay and the jar of the glaze. Not sure? Write none: what suits both is then taken.",
        ],
    ),
    (
        "wall",
        &[
            "Measure the thickest place: mostly the base, a foot ring, or where a handle joins. Press a pin through where nobody sees it, or feel with two fingers.",
            "Thick ware holds water in its middle and bursts when it is heated too fast; the firing is made slow enough for what is written here.",
        ],
    ),
    (
        "dryness",
        &[
            "Hold it to your cheek or the inside of your wrist. Cold means that water is still leaving it, even when it looks pale and dry.",
            "Damp ware is not fired: it bursts and takes its neighbours along. With 'not sure' the firing begins with a longer preheat.",
        ],
    ),
    (
        "foot",
        &[
            "Glaze on what touches the shelf melts and glues the piece to it. Wipe it off with a wet sponge, and a margin up the wall too.",
            "A glazed foot needs a stilt, and stoneware or porcelain at its cone is too soft for one.",
        ],
    ),
    (
        "glaze_margin",
        &[
            "From the shelf up to where the glaze begins. A glaze that runs needs more room than one that stays.",
        ],
    ),
    (
        "height",
        &["With lid, handle or spout: to the highest point, as it will stand in the kiln."],
    ),
    (
        "cone_from",
        &[
            "With its zero: 06 is about 1000 °C (1830 °F), 6 about 1220 °C (2230 °F). It stands on the bag or the jar.",
        ],
    ),
    (
        "max_cone",
        &["By the nameplate or the maker's leaflet. With its zero: 06 is much cooler than 6."],
    ),
    (
        "element_ageing",
        &[
            "Resistance of the elements now, over what they read when they were new: 1 for new ones. It goes up with age, and power goes down: at 1.1 the kiln has 9 % less.",
            "Nobody needs to guess: readings are written down under the kiln's upkeep, and what they imply is offered there to be taken over. Leave 1 until then.",
        ],
    ),
    (
        "sensor.height",
        &[
            "From the hot face of the floor to the middle of the sheath, in the empty kiln.",
            "The controller knows only the heat at this place. The planner keeps ware and shelves clear of the sheath, and works out how much hotter or cooler the other shelves are.",
        ],
    ),
    (
        "bands.0.power_kw",
        &[
            "The nameplate tells the power of the whole kiln. Share it over the rings: alike when all elements are alike, else by what the maker says.",
            "Volts times amperes is watts: 230 V at 32 A is 7.4 kW.",
        ],
    ),
    (
        "wall.0.lining",
        &[
            "Light brick is nearly always 23; 26 is in kilns for higher cones. The layer that the ware sees comes first, what lies behind it next. The steel case is left out.",
        ],
    ),
    (
        "span",
        &[
            "For half shelves write the sizes of the whole that two halves make up. Each half counts as one.",
        ],
    ),
    (
        "load_limit",
        &[
            "Most that one may carry when hot, by its maker. Old shelves that have begun to sag carry less.",
        ],
    ),
    (
        "lead",
        &[
            "By the jar or the maker's sheet, never by guess: leaded ware is never fired with ware that is free of lead.",
        ],
    ),
    (
        "energy.price_per_kwh",
        &[
            "By your bill: what one more kilowatt hour costs, with its taxes. A standing charge is paid anyway and is left out.",
        ],
    ),
    (
        "energy.price_per_kw",
        &["Some bills charge the highest draw of the month as well. Write 0 where yours does not."],
    ),
    (
        "energy.times.0.hours",
        &[
            "When current is cheaper or dearer at some hours. The end may lie on the next day, as 22:00-06:00.",
        ],
    ),
    (
        "ohm.1",
        &[
            "For a competent person: kiln cold, plug out or isolator off and locked off, the ring's wires taken off its relay, so that no other ring is read along with it.",
            "Read each ring in the same way each time, and note which meter was used. Subtract what the meter shows with its leads held together.",
        ],
    ),
    (
        "thing",
        &["A shelf with a crack is lost as well: it breaks when it is hot and loaded."],
    ),
];
