//! Help for screens, and what to mind on each. Paths that are named outright come before those with a star.

use glost_sheets::CAUTIONS;

use super::Screen;

const fn plain(path: &'static str, text: &'static [&'static str]) -> Screen {
    Screen {
        path,
        text,
        mind: &[],
    }
}

pub(super) const ALL: &[Screen] = &[
    plain(
        "/",
        &[
            "What waits for you: ware, firings under way, upkeep that is due. Numbers lead to their lists.",
        ],
    ),
    plain(
        "/ware",
        &[
            "All ware that you may see. Search by code, maker, clay or glaze; the buttons show one state at a time.",
        ],
    ),
    plain(
        "/ware/new",
        &[
            "Write a piece down and put its code on a slip beside it. What you wrote last is filled in again, so that ten alike are quick.",
            "Measure it as it will stand in the kiln. A ruler is enough.",
        ],
    ),
    plain(
        "/ware/sheet",
        &[
            "Many pieces from a spreadsheet. Each bad line is told with its field, and nothing is stored before you say so.",
        ],
    ),
    plain(
        "/ware/labels",
        &["Labels with codes and squares for a phone, to print and cut."],
    ),
    plain(
        "/ware/*",
        &["One piece, whether it is fit to fire and why not, and where it has been."],
    ),
    plain(
        "/firings",
        &[
            "Firings under way and planned. Plan a new one, or let Glost deal all waiting ware out over kilns and days.",
        ],
    ),
    plain(
        "/firings/new",
        &[
            "Choose kiln, kind and cone. Glost proposes which ware goes together and where each piece stands; nothing is bound before you accept it.",
        ],
    ),
    plain(
        "/firings/all",
        &["All waiting ware, dealt out over kilns and days."],
    ),
    Screen {
        path: "/firings/*",
        text: &[
            "Where this firing is, and what comes next. Read the programme back off the controller before you switch the kiln on.",
        ],
        mind: CAUTIONS.start,
    },
    plain(
        "/firings/*/causes",
        &[
            "Faults of a firing, those together that one cause may explain. The likeliest cause comes first, with what speaks for it and what to change.",
            "Notes at the head say what is not known. A log, cones on each tier, and ticks at steps by hand make the answer surer.",
        ],
    ),
    plain(
        "/firings/*/causes/*",
        &[
            "Why the faults of one piece came about: what speaks for each cause, what against it, and what nobody knows. Answer how the edges of a crack look, and the order changes.",
        ],
    ),
    plain(
        "/firings/*/load",
        &[
            "The load from the side and tier by tier, to scale. Clock hours are seen from above, with 12 at the hinge or the door.",
        ],
    ),
    plain(
        "/firings/*/bench",
        &[
            "Change the load by hand. What breaks a rule is named at once, and every step can be taken back.",
        ],
    ),
    Screen {
        path: "/firings/*/at-kiln",
        text: &[
            "Tick what stands in the kiln. Ticks are kept on this phone when there is no network, and sent later.",
        ],
        mind: CAUTIONS.fetch,
    },
    Screen {
        path: "/firings/*/programme",
        text: &[
            "What to set on the controller, and what to expect of it. You set it and switch it on; Glost does neither.",
        ],
        mind: CAUTIONS.hand,
    },
    Screen {
        path: "/firings/*/watch",
        text: &[
            "How the firing goes by what was read: write the display down, bring a log in, or let the kiln's own log be heard. Alarms say what to look at first.",
        ],
        mind: CAUTIONS.fire,
    },
    plain(
        "/firings/*/cost",
        &[
            "What a firing cost by the meter, or as foreseen where nobody read it, and whose share is how much.",
        ],
    ),
    plain(
        "/notices",
        &[
            "What Glost told people of kilns, how it was sent, and who is on it. Say that you are on it, and others know.",
        ],
    ),
    Screen {
        path: "/back",
        text: &["Ware that may be fetched, by maker. Tick what is handed over."],
        mind: &[
            "Food: fired is not the same as safe for food, and one test is not a licence; only a laboratory can say.",
        ],
    },
    plain(
        "/accounts",
        &[
            "What each person owes. Charges come from the scheme under Studio, when a kiln is emptied.",
        ],
    ),
    Screen {
        path: "/kilns",
        text: &["The kilns of the studio, with the upkeep that is due on each."],
        mind: CAUTIONS.first,
    },
    plain(
        "/kilns/new",
        &[
            "Measure the empty, cold kiln inside, from hot face to hot face. The drawing follows the numbers: when it looks like your kiln, they are right.",
            "Clock hours are seen from above: 12 toward the hinge of a lid, or toward the door.",
        ],
    ),
    Screen {
        path: "/kilns/*",
        text: &[
            "The kiln as it is planned with. Plans that were made keep the numbers that they were made with.",
            "Clock hours are seen from above: 12 toward the hinge of a lid, or toward the door.",
        ],
        mind: CAUTIONS.first,
    },
    plain(
        "/kilns/*/learnt",
        &[
            "Every firing that is over and has a log tells how this kiln differs from others built like it. Learn from them, and new plans are foretold by this kiln.",
            "It is worked out anew each time; each edition is kept, and plans can go by an earlier one, or by none.",
            "After a firing was emptied Glost learns by itself, unless you say no. An edition that foretells worse is kept and waits for you.",
        ],
    ),
    plain(
        "/firings/*/readings",
        &[
            "Everything that was read while this kiln was on. Mark what is not to be believed: a sensor that slipped, a lid that was opened.",
            "Marked readings stay in the log. They are left out of what is learnt and worked out from it, and you can believe them again.",
        ],
    ),
    plain(
        "/kilns/*/source",
        &[
            "Glost can follow the kiln while it fires: from a file that a logger writes, a broker, or the controller. It only listens.",
            "Try it first: the last readings are shown as they are understood, and nothing is stored. Compare them with the display.",
        ],
    ),
    plain(
        "/kilns/*/upkeep",
        &[
            "Write down what is replaced, washed and read: the counters begin anew, and what is due is told here and on the first page.",
            "Elements that age give less power: firings take longer, until the cone is not reached any more. Readings show it beforehand.",
        ],
    ),
    Screen {
        path: "/furniture",
        text: &[
            "Shelves, posts and supports with how many there are. Plans use no more than that.",
        ],
        mind: CAUTIONS.fetch,
    },
    plain(
        "/furniture/losses",
        &[
            "What broke, got lost or wore out. The stock goes down by itself, and undo brings it back.",
        ],
    ),
    plain(
        "/clays",
        &[
            "Clays and glazes with the cones that they stand. Ware of another clay or glaze is kept back until somebody has asked.",
        ],
    ),
    plain(
        "/log",
        &["All firings. Search them, and tick two to see them beside one another."],
    ),
    plain(
        "/log/report",
        &["Firings, energy, cost, losses and waits over months."],
    ),
    plain(
        "/studio",
        &["Units, prices, hours and rules. Each rule tells its reason and where it comes from."],
    ),
    plain(
        "/studio/people",
        &["Who is here and what they may do. Links to join are good once and for two weeks."],
    ),
    plain(
        "/studio/away",
        &["Kilns, furniture, clays, glazes and people that were put away, each with a way back."],
    ),
    plain(
        "/studio/log",
        &[
            "Everything that was done. Open one to see each field before and after; undo stands where nothing was built on it, and a thing that was new is then put away.",
        ],
    ),
    plain(
        "/studio/lists",
        &[
            "Lists from the files of a studio's folder. You see what is new and what changes before anything is stored.",
        ],
    ),
    plain(
        "/me",
        &["Your units, your mark, your password and links of your own."],
    ),
];
