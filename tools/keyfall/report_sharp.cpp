#include "report_sharp.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "json_numbers.h"
#include "length_text.h"
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

/// f-numbers that lenses have. Common practice, no source.
constexpr glm::dvec2 kRealApertures{0.7, 128.0};

/// The least blur of the f-numbers that may be used; without limits empty where no real lens has it.
std::optional<LeastBlur> usableLeast(const Scene& scene, const BlurLens& lens, const DepthRange& range, double focus_m) {
    if (scene.limits.aperture) return leastBlurWithin(lens, range, focus_m, *scene.limits.aperture);
    const auto least = leastBlur(lens, range, focus_m);
    if (!least || least->aperture < kRealApertures.x || least->aperture > kRealApertures.y) return {};
    return least;
}

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
    p.leastAsFocused = usableLeast(report.scene, lens, range, c.focusDistance_m);
    if (range.nearest_m > c.focalLength_m) p.least = usableLeast(report.scene, lens, range, middleFocus_m(range));
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

/// What has to be told apart: a fiftieth of it is nothing.
constexpr double kFlat_m = 1e-4;
double depth_m(const DepthOfField& sharp) { return sharp.far_m - sharp.near_m; }
double nothing_m(const DepthOfField& sharp) { return std::min(0.0005, 0.02 * depth_m(sharp)); }

std::string softText(const ProductSharpness& p, const DepthOfField& sharp) {
    const auto text = [&](double metres) { return lengthText(metres, depth_m(sharp)); };
    const double outside_m = std::max(p.soft.before_m, p.soft.behind_m);
    if (outside_m > 0.0)
        return fmt::format("as focused none of the product that is seen is sharp: it lies {} {} the sharp range", text(outside_m),
                           p.soft.before_m > 0.0 ? "before" : "behind");
    const std::string front = p.soft.front_m < nothing_m(sharp) ? "" : "the first " + text(p.soft.front_m);
    const std::string back = p.soft.back_m < nothing_m(sharp) ? "" : "the last " + text(p.soft.back_m);
    if (front.empty() && back.empty()) return "as focused all of the product that is seen is sharp";
    const bool both = !front.empty() && !back.empty();
    return "as focused " + front + (both ? " and " : "") + back + " of the product " + (both ? "are" : "is") + " soft";
}

/// The rows of a stack, twelve distances at the most: a rail is set by the first and the step.
std::string stackText(const FocusStack& stack, double focus_m, const DepthOfField& sharp) {
    const std::size_t frames = stack.focus_m.size();
    if (frames == 1) {
        const double back_m = stack.focus_m.front() - focus_m;
        if (std::abs(back_m) < nothing_m(sharp)) return "one frame holds all of it as focused";
        const double apart_m = std::min(depth_m(sharp), std::abs(back_m));
        return fmt::format("one frame holds all of it focused {} further {}, at {}", lengthText(std::abs(back_m), apart_m),
                           back_m > 0.0 ? "back" : "forward", lengthText(stack.focus_m.front(), apart_m));
    }
    std::string text = fmt::format("a stack of {} frames holds all of it ({:.0f} % overlap), focused at", frames, 100.0 * stack.overlap);
    const double apart_m = stack.focus_m[1] - stack.focus_m[0];
    for (std::size_t i = 0; i < std::min<std::size_t>(frames, 12); ++i)
        text += (i == 0 ? " " : ", ") + lengthText(stack.focus_m[i], apart_m);
    return text + (frames > 12 ? " ... " + lengthText(stack.focus_m.back(), apart_m) : std::string());
}

std::string placeText(const VisibleDepth& d, double apart_m) {
    const double deep_m = d.farthest_m - d.nearest_m;
    if (deep_m < kFlat_m) return "lies at " + lengthText(d.nearest_m, apart_m);
    apart_m = std::min(apart_m, deep_m);
    return fmt::format("reaches from {} to {}", lengthText(d.nearest_m, apart_m), lengthText(d.farthest_m, apart_m));
}

std::string productLines(const ProductSharpness& p, double focus_m, const DepthOfField& sharp) {
    std::string lines = fmt::format("{:14} {:.0f} % of the visible product, which {}, is sharp; {}\n", "", 100.0 * p.share,
                                    placeText(p.depth, depth_m(sharp)), softText(p, sharp));
    if (p.stack) lines += fmt::format("{:14} {}\n", "", stackText(*p.stack, focus_m, sharp));
    return lines;
}

std::string diffractionLine(const Camera& c, const ProductSharpness* p) {
    const double airy_m = airyOnSensor_m(blurLensOf(c), c.focusDistance_m);
    std::string line = fmt::format("diffraction    Airy disc {:.1f} µm: {:.1f} pixels, {:.2f} of the circle of confusion", airy_m * 1e6,
                                   airy_m / pixel_m(c), airy_m / c.circleOfConfusion_m);
    if (p != nullptr && !p->least && p->depth.nearest_m > c.focalLength_m)
        line += "; over the product's depth the least blur of both is at an f-number that no lens has";
    if (p != nullptr && p->least)
        line += fmt::format("; over the product's depth the least blur of both, {:.0f} µm, is at {} focused at {}", p->least->blur_m * 1e6,
                            apertureReading(p->least->aperture), lengthText(p->least->focus_m, std::max(kFlat_m, p->depth.farthest_m - p->depth.nearest_m)));
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
    j["as_focused_outside_cm"] = ofProduct(p ? std::max(p->soft.before_m, p->soft.behind_m) * 1e2 : 0.0);
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
    const auto text = [&](double metres) { return lengthText(metres, depth_m(s.depth)); };
    std::string lines = fmt::format(
        "sharp          {} to {} from the lens ({} before, {} behind the focus)\n"
        "               focus at {} from the lens, {} from the sensor plane; circle of confusion {:.3f} mm\n",
        text(s.depth.near_m), text(s.depth.far_m), text(s.before_m), text(s.behind_m), text(c.focusDistance_m),
        text(s.fromSensor_m), c.circleOfConfusion_m * 1e3);
    if (p) lines += productLines(*p, c.focusDistance_m, s.depth);
    return lines + diffractionLine(c, p ? &*p : nullptr);
}

void warnOfSharpness(const Report& report, std::vector<Warning>& warnings) {
    const auto isProduct = [](const Item& i) { return i.kind == ItemKind::product; };
    if (!report.seen || std::none_of(report.scene.items.begin(), report.scene.items.end(), isProduct)) return;
    const auto p = productSharpness(report);
    if (!p)
        warnings.push_back({"product-not-in-frame", "no product is in the frame: what of it is sharp, and a focus stack, are missing"});
    else if (!p->stack && p->depth.nearest_m > report.scene.camera.focalLength_m)
        warnings.push_back({"no-focus-stack", "no focus stack holds the product: it would take over 1000 frames"});
    else if (!p->stack)
        warnings.push_back({"no-focus-stack", fmt::format("no focus stack holds the product: its nearest visible point is {} from the lens, whose focal length is {:g} mm",
                                                          lengthText(p->depth.nearest_m), report.scene.camera.focalLength_m * 1e3)});
}

}  // namespace keyfall
