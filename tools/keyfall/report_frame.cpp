#include "report_frame.h"

#include <fmt/core.h>

#include "json_numbers.h"
#include "report.h"

namespace keyfall {
namespace {

std::string sideText(const char* side, const std::optional<Measured>& stops) {
    return stops ? fmt::format(" {} {:+.1f}", side, stops->value) : std::string();
}

}  // namespace

std::string frameLine(const Report& report) {
    const auto fill = report.seen ? productFill(report.scene, report.seen->visible) : std::nullopt;
    if (!fill) return {};
    std::string line = fmt::format(
        "product        fills {:.0f} % of the picture, {:.0f} % of its width, {:.0f} % of its height",
        100.0 * fill->area, 100.0 * fill->width, 100.0 * fill->height);
    if (report.separation) {
        const Separation& s = *report.separation;
        const std::string sides =
            sideText("left", s.left_stops) + sideText("right", s.right_stops) + sideText("top", s.top_stops);
        if (!sides.empty()) line += "; stops over the backdrop beside it:" + sides;
    }
    return line + "\n";
}

nlohmann::ordered_json frameJson(const Report& report) {
    const auto fill = productFill(report.scene, report.seen->visible);
    if (!fill) return nullptr;
    Json j = {{"picture_share", fill->area}, {"width_share", fill->width}, {"height_share", fill->height}};
    if (report.separation) {
        put(j, "separation_left_stops", report.separation->left_stops);
        put(j, "separation_right_stops", report.separation->right_stops);
        put(j, "separation_top_stops", report.separation->top_stops);
    }
    return j;
}

}  // namespace keyfall
