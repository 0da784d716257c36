//! A small valid studio, written in either system of units.

use crate::text::Texts;

/// Writes millimetres, kilograms and degrees Celsius in the studio's units.
struct Pen {
    imperial: bool,
}

impl Pen {
    fn l(&self, mm: f64) -> String {
        (if self.imperial { mm / 25.4 } else { mm }).to_string()
    }
    fn m(&self, kg: f64) -> String {
        (if self.imperial { kg / 0.453_592_37 } else { kg }).to_string()
    }
    fn t(&self, c: f64) -> String {
        (if self.imperial { c * 1.8 + 32.0 } else { c }).to_string()
    }
}

pub(super) fn sample(imperial: bool) -> Texts {
    let pen = Pen { imperial };
    let [length, mass, temperature] = if imperial {
        ["in", "lb", "F"]
    } else {
        ["mm", "kg", "C"]
    };
    Texts {
        studio: format!(
            "name = \"Sample\"\n\n[units]\nlength = \"{length}\"\nmass = \"{mass}\"\ntemperature = \"{temperature}\"\n\n\
             [energy]\ncurrency = \"EUR\"\nprice_per_kwh = 0.31\n\n[rules]\ngap-ware = \"8 mm\"\n"
        ),
        clays: "[[clay]]\nname = \"Buff\"\ncone_from = \"5\"\ncone_to = \"7\"\nslumps_on_points = true\n\n\
                [[clay]]\nname = \"Red\"\ncone_from = \"06\"\ncone_to = \"02\"\nslumps_on_points = false\nplucks = true\n"
            .to_owned(),
        glazes: "[[glaze]]\nname = \"Mist\"\ncone_from = \"5\"\ncone_to = \"6\"\nlead = false\nrunny = true\n".to_owned(),
        furniture: format!(
            "post_section = {}\n\n\
             [[shelf]]\nname = \"full\"\nshape = \"circle\"\ndiameter = {}\nspan = \"full\"\nthickness = {}\ncount = 4\nmass = {}\nload_limit = {}\n\n\
             [[shelf]]\nname = \"eight\"\nshape = \"regular-polygon\"\nsides = 8\nacross_flats = {}\nspan = \"half\"\nthickness = {}\ncount = 2\nmass = {}\nload_limit = {}\n\n\
             [[post]]\nlength = {}\ncount = 12\n\n[[post]]\nlength = {}\ncount = 9\n\n\
             [[support]]\nname = \"pins\"\nkind = \"pin-support\"\ndiameter = {}\nheight = {}\nload_limit = {}\nmax_cone = \"10\"\ncount = 6\n",
            pen.l(38.0), pen.l(530.0), pen.l(16.0), pen.m(7.0), pen.m(20.0),
            pen.l(540.0), pen.l(18.0), pen.m(3.5), pen.m(12.0),
            pen.l(100.0), pen.l(150.0),
            pen.l(50.0), pen.l(15.0), pen.m(8.0),
        ),
        kilns: format!(
            "[[kiln]]\nname = \"Wren\"\nshape = \"oval\"\nlength = {}\nwidth = {}\nheight = {}\nopening = \"lid\"\n\
             max_cone = \"10\"\nmax_temperature = {}\nelement_ageing = 1.04\nvent_fan = true\n\
             bands = [\n  {{ from = 0, to = {}, power_kw = 4 }},\n  {{ from = {}, to = {}, power_kw = 4.5 }},\n]\n\
             sensor = {{ clock = 7.5, height = {}, reach = {} }}\n\
             peepholes = [{{ clock = 1.5, height = {} }}]\n\
             wall = [{{ lining = \"brick-23\", thickness = {} }}, {{ lining = \"fibre\", thickness = {} }}]\n\
             floor = [{{ lining = \"brick-26\", thickness = {} }}]\n\
             lid = [{{ lining = \"castable\", thickness = {} }}]\n\
             controller = {{ max_segments = 8, zoned = true, hold_step_minutes = 1 }}\n",
            pen.l(900.0), pen.l(560.0), pen.l(690.0), pen.t(1290.0),
            pen.l(345.0), pen.l(345.0), pen.l(690.0),
            pen.l(345.0), pen.l(35.0), pen.l(200.0),
            pen.l(76.0), pen.l(25.0), pen.l(76.0), pen.l(76.0),
        ),
        pieces: format!(
            "id,what,maker,shape,size,foot_size,height,mass,wall,clay,glazes,foot,glaze_margin,dryness,delicacy,stage,cone,due,came_in,priority,group\n\
             A1,mug,Ada,circle,{},{},{},{},{},Buff,Mist;Oat,wiped,{},bone-dry,,glazed,6,2026-12-01,2026-11-03,4,\n\
             A2,dish,Bo,ellipse,{}x{},,{},{},{},Buff,Mist,wiped,{},doubtful,delicate,glazed,,,,,set\n\
             A3,tile,Bo,rectangle,{}x{},,{},{},{},Buff,,bare,,bone-dry,sturdy,greenware,06,,,1,set\n\
             A4,bird,Cy,outline,{} {}; {} {}; {} {},,{},{},{},Buff,Mist,glazed,,damp,usual,glazed,,,,,\n",
            pen.l(90.0), pen.l(60.0), pen.l(100.0), pen.m(0.4), pen.l(6.0), pen.l(7.0),
            pen.l(200.0), pen.l(120.0), pen.l(40.0), pen.m(0.9), pen.l(8.0), pen.l(6.0),
            pen.l(150.0), pen.l(150.0), pen.l(12.0), pen.m(0.5), pen.l(12.0),
            pen.l(-60.0), pen.l(-40.0), pen.l(60.0), pen.l(-40.0), pen.l(0.0), pen.l(70.0),
            pen.l(90.0), pen.m(0.7), pen.l(9.0),
        ),
    }
}
