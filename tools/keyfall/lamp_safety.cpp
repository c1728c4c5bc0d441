// What a figure does not say and a hand on set has to know. General care, no maker's words.
#include "lamp_report.h"

namespace keyfall {

std::string safetyLines(const LampReport& report) {
    std::string text =
        "Safety\n"
        "  Lamps and what is on them get hot: let them cool before you touch or change anything; fabrics, gels\n"
        "  and grids at the distance and for the lamp power that their makers state, never on a hot lamp.\n";
    // Where nobody said how much, nobody said either whether the lamp is a flash.
    if (report.kind == LightKind::flash || report.isPerThousand)
        text += "  A flash holds mains voltage and charged capacitors, also when unplugged: never open it, keep it\n"
                "  dry, switch it off before you change a tube. Do not look into the tube; do not fire it at people\n"
                "  or animals close by, nor in quick rows before somebody whom strobing can make ill.\n";
    if (report.kind != LightKind::flash)
        text += "  Mains: dry hands, whole cables, no wet table; switch it off before you change a lamp. Do not look\n"
                "  into bright or ultraviolet lamps; dimmed ones may flicker, which can make people ill.\n";
    return text +
           "  Weigh down stands, all the more with a wide modifier; keep cables where nobody walks.\n"
           "  Local codes and the makers' papers stand above this program; leave wiring to qualified people.\n";
}

}  // namespace keyfall
