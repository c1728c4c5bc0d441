#include "report_sharp.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "json_numbers.h"
#include "renderer/photograph/sharpness.h"
#include "report.h"
#include "scene/focus_stack.h"

namespace keyfall {
namespace {

/// All that a report says of the product's sharpness; empty parts where no product is seen.
struct ProductSharpness {
    VisibleDepth depth;
    double share = 0.0;                ///< of the visible product, sharp as focused
    SoftParts soft;                    ///< of its visible depth
    std::optional<FocusStack> stack;
    std::optional<LeastBlur> leastAsFocused, least;
};

std::optional<ProductSharpness> productSharpness(const Report& report) {
    if (!report.seen) return {};
    const std::optional<VisibleDepth>& depth = report.seen->productDepth;
    if (!depth) return {};
    const Camera& c = report.scene.camera;
    const BlurLens lens = blurLensOf(c);
    const DepthOfField sharp = sharpnessOf(report.scene).depth;
    const DepthRange range{depth->nearest_m, depth->farthest_m};
    ProductSharpness p;
    p.depth = *depth;
    p.share = *sharpShare(report.scene, report.seen->visible, sharp);
    p.soft = softParts(sharp, range.nearest_m, range.farthest_m);
    p.stack = focusStack(lens, range);
    p.leastAsFocused = leastBlur(lens, range, c.focusDistance_m);
    if (range.nearest_m > c.focalLength_m) p.least = leastBlur(lens, range, middleFocus_m(range));
    return p;
}

double pixel_m(const Camera& c) { return c.sensor_m.x / c.electronics.pixels.x; }

Json leastJson(const std::optional<LeastBlur>& least) {
    if (!least) return nullptr;
    return {{"aperture", least->aperture}, {"reading", apertureReading(least->aperture)}, {"focus_cm", least->focus_m * 1e2}, {"blur_mm", least->blur_m * 1e3}};
}

Json diffractionJson(const Camera& c, const ProductSharpness* p) {
    const BlurLens lens = blurLensOf(c);
    const double airy_m = airyOnSensor_m(lens, c.focusDistance_m);
    Json j;
    j["wavelength_nm"] = kDiffractionWavelength_m * 1e9;
    j["effective_aperture"] = effectiveAperture(lens.aperture, magnification(lens.focalLength_m, c.focusDistance_m), lens.pupilRatio);
    j["airy_mm"] = airy_m * 1e3;
    j["pixel_mm"] = pixel_m(c) * 1e3;
    j["airy_pixels"] = airy_m / pixel_m(c);
    j["airy_circles_of_confusion"] = airy_m / c.circleOfConfusion_m;
    j["least_blur"] = leastJson(p != nullptr ? p->least : std::nullopt);
    j["least_blur_as_focused"] = leastJson(p != nullptr ? p->leastAsFocused : std::nullopt);
    return j;
}

std::string cmText(double metres) {
    return std::isfinite(metres) ? fmt::format("{:.1f} cm", metres * 100.0) : std::string("infinity");
}

std::string softText(const ProductSharpness& p) {
    constexpr double kShown_m = 0.0005;
    const std::string front = p.soft.front_m < kShown_m ? "" : "the first " + cmText(p.soft.front_m);
    const std::string back = p.soft.back_m < kShown_m ? "" : "the last " + cmText(p.soft.back_m);
    if (front.empty() && back.empty()) return "as focused all of the product that is seen is sharp";
    const bool both = !front.empty() && !back.empty();
    return "as focused " + front + (both ? " and " : "") + back + " of the product " + (both ? "are" : "is") + " soft";
}

/// The rows of a stack, twelve distances at the most: a rail is set by the first and the step.
std::string stackText(const FocusStack& stack, double focus_m) {
    const std::size_t frames = stack.focus_m.size();
    if (frames == 1) {
        const double back_m = stack.focus_m.front() - focus_m;
        if (std::abs(back_m) < 0.0005) return "one frame holds all of it as focused";
        return fmt::format("one frame holds all of it focused {} further {}, at {}", cmText(std::abs(back_m)),
                           back_m > 0.0 ? "back" : "forward", cmText(stack.focus_m.front()));
    }
    std::string text = fmt::format("a stack of {} frames holds all of it ({:.0f} % overlap), focused at", frames, 100.0 * stack.overlap);
    for (std::size_t i = 0; i < std::min<std::size_t>(frames, 12); ++i)
        text += fmt::format("{} {:.2f}", i == 0 ? "" : ",", stack.focus_m[i] * 100.0);
    return text + (frames > 12 ? fmt::format(" ... {:.2f} cm", stack.focus_m.back() * 100.0) : std::string(" cm"));
}

std::string productLines(const ProductSharpness& p, double focus_m) {
    std::string lines = fmt::format("{:14} {:.0f} % of the visible product, which reaches from {:.1f} to {}, is sharp; {}\n", "",
                                    100.0 * p.share, p.depth.nearest_m * 100.0, cmText(p.depth.farthest_m), softText(p));
    if (p.stack) lines += fmt::format("{:14} {}\n", "", stackText(*p.stack, focus_m));
    return lines;
}

std::string diffractionLine(const Camera& c, const ProductSharpness* p) {
    const double airy_m = airyOnSensor_m(blurLensOf(c), c.focusDistance_m);
    std::string line = fmt::format("diffraction    Airy disc {:.1f} µm: {:.1f} pixels, {:.2f} of the circle of confusion", airy_m * 1e6,
                                   airy_m / pixel_m(c), airy_m / c.circleOfConfusion_m);
    if (p != nullptr && p->least)
        line += fmt::format("; over the product's depth the least blur of both, {:.0f} µm, is at {} focused at {}", p->least->blur_m * 1e6,
                            apertureReading(p->least->aperture), cmText(p->least->focus_m));
    return line + "\n";
}

}  // namespace

nlohmann::ordered_json depthJson(const Report& report) {
    const Sharpness s = sharpnessOf(report.scene);
    const auto p = productSharpness(report);
    const auto ofProduct = [&](double value) { return p ? number(value) : Json(nullptr); };
    Json j;
    j["near_cm"] = s.depth.near_m * 1e2;
    j["far_cm"] = number(s.depth.far_m * 1e2);
    j["before_cm"] = s.before_m * 1e2;
    j["behind_cm"] = number(s.behind_m * 1e2);
    j["product_near_cm"] = ofProduct(p ? p->depth.nearest_m * 1e2 : 0.0);
    j["product_far_cm"] = ofProduct(p ? p->depth.farthest_m * 1e2 : 0.0);
    j["as_focused_soft_cm"] = ofProduct(p ? (p->soft.front_m + p->soft.back_m) * 1e2 : 0.0);
    j["sharp_share"] = ofProduct(p ? p->share : 0.0);
    j["frames"] = nullptr;
    j["focus_cm"] = nullptr;
    j["overlap"] = nullptr;
    if (p && p->stack) {
        j["frames"] = p->stack->focus_m.size();
        j["focus_cm"] = Json::array();
        for (const double f_m : p->stack->focus_m) j["focus_cm"].push_back(number(f_m * 1e2));
        j["overlap"] = p->stack->focus_m.size() > 1 ? Json(p->stack->overlap) : Json(nullptr);
    }
    j["diffraction"] = diffractionJson(report.scene.camera, p ? &*p : nullptr);
    return j;
}

std::string sharpLines(const Report& report) {
    const Camera& c = report.scene.camera;
    const Sharpness s = sharpnessOf(report.scene);
    const auto p = productSharpness(report);
    std::string lines = fmt::format(
        "sharp          {:.1f} cm to {} from the lens ({} before, {} behind the focus)\n"
        "               focus at {:.1f} cm from the lens, {:.1f} cm from the sensor plane; circle of confusion {:.3f} mm\n",
        s.depth.near_m * 100.0, cmText(s.depth.far_m), cmText(s.before_m), cmText(s.behind_m), c.focusDistance_m * 100.0,
        s.fromSensor_m * 100.0, c.circleOfConfusion_m * 1e3);
    if (p) lines += productLines(*p, c.focusDistance_m);
    return lines + diffractionLine(c, p ? &*p : nullptr);
}

void warnOfSharpness(const Report& report, std::vector<Warning>& warnings) {
    const auto isProduct = [](const Item& i) { return i.kind == ItemKind::product; };
    if (!report.seen || std::none_of(report.scene.items.begin(), report.scene.items.end(), isProduct)) return;
    const auto p = productSharpness(report);
    if (!p)
        warnings.push_back({"product-not-in-frame", "no product is in the frame: what of it is sharp, and a focus stack, are missing"});
    else if (!p->stack)
        warnings.push_back({"no-focus-stack", fmt::format("no focus stack holds the product: its nearest visible point is {} from the lens, whose focal length is {:g} mm",
                                                          cmText(p->depth.nearest_m), report.scene.camera.focalLength_m * 1e3)});
}

}  // namespace keyfall
