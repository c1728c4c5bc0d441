// What is doubtful about a lamp's figures, from the figures themselves.
#include <fmt/core.h>

#include <cmath>

#include "lamp_report.h"

namespace keyfall {

std::vector<Warning> warningsOf(const LampReport& r) {
    const LampFigures& f = r.figures;
    std::vector<Warning> warnings;
    if (r.fluxUncertain)
        warnings.push_back({"flux-uncertain", "the flux comes from electrical power alone and may be off by about 0.9 stop; "
                                              "a guide number or a meter reading makes it sure"});
    if (!(f.axis_perSr.value > 0.0))
        warnings.push_back({"no-light-on-axis", "no light was found on the axis; what follows from it is missing, not 0"});
    if (f.axis_perSr.value > 0.0 && f.at1m_perM2.value == 0.0)
        warnings.push_back({"no-light-at-1m", "no light was found at 1 m on the axis; that reading is missing, not 0"});
    if (f.tracedAxis_perSr && f.axis_perSr.value > 0.0 && f.tracedAxis_perSr->value == 0.0)
        warnings.push_back({"table-unproved", "looking into the real inside from the axis, no light was found; what the table says there is not proved"});
    else if (f.tracedAxis_perSr && f.axis_perSr.value > 0.0) {
        const double off = f.axis_perSr.value - f.tracedAxis_perSr->value;
        if (std::abs(off) > 0.021 * f.tracedAxis_perSr->value + f.tracedAxis_perSr->interval95.half())  // 0.03 stop
            warnings.push_back({"table-off-axis", fmt::format("on the axis the table of the modifier differs from its real inside by {:+.1f} %; readings there do, too",
                                                              100.0 * off / f.tracedAxis_perSr->value)});
    }
    if (r.modifier != "none" && !f.evenness_stops)
        warnings.push_back({"evenness-missing", f.hasFront ? "evenness is missing: a twentieth of the front or more is dark, and how many stops under the rest has no answer"
                                                           : "evenness is missing: light leaves through nothing that looks forward"});
    // Sums of independent counts: what is lost beyond their noise is lost to numbers, not to surfaces.
    const double closure = f.out.value + f.absorbed.value - 1.0;
    if (f.photons > 0 && std::abs(closure) > 0.002 + f.out.interval95.half() + f.absorbed.interval95.half())
        warnings.push_back({"energy", fmt::format("what comes out and what is absorbed differ from the flux in by {:+.2f} %", 100.0 * closure)});
    if (!f.hasDoors && std::abs(f.metered.value / f.out.value - 1.0) > 0.005 + f.metered.interval95.half() / f.out.value)
        warnings.push_back({"metered", fmt::format("the flux metered around it differs from the flux out by {:+.2f} %",
                                                   100.0 * (f.metered.value / f.out.value - 1.0))});
    if (r.iesFlux && std::abs(*r.iesFlux / (r.flux * f.metered.value) - 1.0) > 0.003)
        warnings.push_back({"ies-flux", "the photometric file's directions are too coarse for its edges: its flux is off by more than 0.3 %"});
    return warnings;
}

}  // namespace keyfall
