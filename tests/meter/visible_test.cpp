// What the camera sees: depth of field on geometry, gear in the frame, and the blur of a thin lens in the
// traced picture. Not here: formulas alone (tests/laws/sharpness_law_test.cpp).
#include <catch2/catch.hpp>

#include <numbers>

#include "../transport/set.h"
#include "renderer/meter/visible.h"
#include "renderer/transport/render.h"
#include "scene/focus_stack.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

/// A camera at the origin that looks along -z.
Set seenSet(double focus_m, double focalLength_m = 0.085) {
    Set set;
    Camera& c = set.scene.camera;
    c.frame.x = {1, 0, 0};
    c.frame.y = {0, 1, 0};
    c.frame.z = {0, 0, -1};
    c.focalLength_m = focalLength_m;
    c.focusDistance_m = focus_m;
    return set;
}

/// 1/f = 1/s + 1/v.
double imageOf_m(double focalLength_m, double depth_m) { return 1.0 / (1.0 / focalLength_m - 1.0 / depth_m); }

/// A small disc lamp of 12 pixels' diameter in a picture of 40 x 40 pixels of 31.25 um, seen far off the
/// axis by a shifted lens; the picture's pixel values per unit flux.
struct SpotPicture {
    static constexpr int kSide = 40;
    static constexpr double kPixel_m = 31.25e-6;
    static constexpr double kSpot_px = 12.0;
    double image_m = imageOf_m(0.05, 1.0);
    std::vector<double> value;

    SpotPicture(double depth_m, double aperture) {
        Set set = seenSet(1.0, 0.05);
        Camera& c = set.scene.camera;
        c.aperture = {aperture, aperture};
        c.sensor_m = glm::dvec2(kSide * kPixel_m);
        c.shift_m = {0.005, 0.003};
        const glm::dvec2 at_m = c.shift_m / image_m * depth_m;
        LampShape disc;
        disc.kind = LampKind::disc;
        disc.centre_m = glm::vec3(at_m, -depth_m);
        disc.frame = frameAround({0, 0, 1});
        disc.a_m = static_cast<float>(kSpot_px * kPixel_m / image_m * depth_m);
        set.light(disc, 1.0);
        const Stage stage(set.scene);
        Film film(kSide, kSide, layerInfos(set.scene));
        RenderSettings settings;
        settings.samples = 1024;
        render(stage, film, settings);
        for (std::size_t p = 0; p < film.pixelCount(); ++p) value.push_back(static_cast<double>(film.transfer(0, p)[7]));
    }
    double sum() const {
        double s = 0.0;
        for (const double v : value) s += v;
        return s;
    }
    /// Mean square distance from the centre of gravity in one axis, px^2.
    double variance_px2(bool along_x) const {
        double mean = 0.0;
        double square = 0.0;
        for (std::size_t p = 0; p < value.size(); ++p) {
            const double at = static_cast<double>(along_x ? p % kSide : p / kSide);
            mean += value[p] * at;
            square += value[p] * at * at;
        }
        mean /= sum();
        return square / sum() - mean * mean;
    }
};

}  // namespace

TEST_CASE("a point out of focus becomes the disc of c = (f/N) |v' - v| / v'", "[long][law][sharp]") {
    // Derived: behind the lens the pupil's cone ends at v', the sensor stands at v: similar triangles. An
    // even disc of diameter D has variance D^2/16 in each axis; a pixel's box adds 1/12 (Sheppard). The
    // picture is the spot's image convolved with the blur disc, so variances add.
    const double v_m = imageOf_m(0.05, 1.0);
    for (const double depth_m : {0.62, 1.7}) {
        const SpotPicture picture(depth_m, 2.8);
        const double behind_m = imageOf_m(0.05, depth_m);
        const double blur_m = 0.05 / 2.8 * std::abs(behind_m - v_m) / behind_m;
        for (const bool along_x : {true, false}) {
            const double own = picture.variance_px2(along_x) - SpotPicture::kSpot_px * SpotPicture::kSpot_px / 16.0 - 1.0 / 12.0;
            INFO("depth " << depth_m << " m, blur " << blur_m / SpotPicture::kPixel_m << " px");
            CHECK_THAT(4.0 * std::sqrt(own) * SpotPicture::kPixel_m, WithinRel(blur_m, 0.02));
        }
        BlurLens lens;
        lens.focalLength_m = 0.05;
        lens.aperture = 2.8;
        CHECK_THAT(defocusBlur_m(lens, 1.0, depth_m), WithinRel(blur_m, 1e-12));
    }
}

TEST_CASE("a defocused disc keeps its energy", "[long][law][sharp]") {
    // Derived: luminance 1/(pi A) per unit flux on an image of A (v/d)^2, in pixels, whatever the blur.
    for (const double depth_m : {0.62, 1.0, 1.7}) {
        const SpotPicture picture(depth_m, 2.8);
        const double size = picture.image_m / depth_m / SpotPicture::kPixel_m;
        CHECK_THAT(picture.sum(), WithinRel(size * size / std::numbers::pi, 0.002));
    }
}

TEST_CASE("of a tilted plane the share between the limits is sharp", "[law][sharp][meter]") {
    // Derived: a plane d = s0 + k h through (0, s0), seen at the slope t = h/d, has 1/d = (1 - k t)/s0: even in
    // t, and so in the picture. Sharp is what lies between 1/far and 1/near.
    constexpr double kMiddle_m = 1.0;
    constexpr double kSlope = 3.0;
    Set set = seenSet(1.1);
    set.item(sheet({0, 0, -static_cast<float>(kMiddle_m)}, {0, static_cast<float>(kSlope), 1}, {4, 4}), set.matt(0.5F), ItemKind::product);
    const Camera& c = set.scene.camera;
    const Stage stage(set.scene);
    const VisiblePicture seen = lookThroughLens(stage, 4, 2000);
    const double highest = 0.012 / imageOf_m(0.085, 1.1);
    const auto depthAt = [&](double t) { return kMiddle_m / (1.0 - kSlope * t); };
    const auto depth = visibleProductDepth(set.scene, seen);
    REQUIRE(depth);
    CHECK_THAT(depth->nearest_m, WithinAbs(depthAt(-highest), 1e-3));
    CHECK_THAT(depth->farthest_m, WithinAbs(depthAt(highest), 2e-3));
    CHECK_THAT(depth->pictureShare, WithinAbs(1.0, 1e-12));
    const DepthOfField sharp = depthOfField(c.focalLength_m, c.aperture.exact, 1.1, c.circleOfConfusion_m);
    const double share = kMiddle_m * (1.0 / sharp.near_m - 1.0 / sharp.far_m) / kSlope / (2.0 * highest);
    CHECK(share > 0.1);
    CHECK_THAT(*sharpShare(set.scene, seen, sharp), WithinAbs(share, 1.5e-3));
}

TEST_CASE("a card in the frame is found with its share of the picture, whatever stands behind it", "[law][meter]") {
    Set set = seenSet(1.0);
    set.item(sheet({0, 0, -1}, {0, 0, 1}, {0.3F, 0.1F}), set.matt(0.5F), ItemKind::product);
    set.item(sheet({0.05F, 0.03F, -0.5F}, {0, 0, 1}, {0.06F, 0.04F}), set.matt(0.5F), ItemKind::board).name = "fill";
    set.light(sphereLamp({-0.9F, 0.1F, -1.5F}, 0.1F), 100.0).name = "rim";  // out of the frame
    set.item(sheet({0, 0, -2}, {0, 0, 1}, {9, 9}), set.matt(0.5F), ItemKind::backdrop);
    const Stage stage(set.scene);
    const VisiblePicture seen = lookThroughLens(stage, 300, 200);
    const auto gear = gearInFrame(set.scene, seen);
    REQUIRE(gear.size() == 1);
    CHECK(nameOfObject(set.scene, gear[0].object) == "fill");
    // Thin lens: sizes in the picture are v/d of theirs.
    const double scale = imageOf_m(0.085, 1.0) / 0.5;
    CHECK_THAT(gear[0].share, WithinAbs(0.06 * 0.04 * scale * scale / (0.036 * 0.024), 3e-3));
    CHECK_THAT(gear[0].middle.x, WithinAbs(0.5 + 0.05 * scale / 0.036, 3e-3));
    CHECK_THAT(gear[0].middle.y, WithinAbs(0.5 - 0.03 * scale / 0.024, 3e-3));
    // The product's depth is that of what is seen of it; the card and the wall do not count.
    const auto depth = visibleProductDepth(set.scene, seen);
    CHECK_THAT(depth->nearest_m, WithinAbs(1.0, 1e-6));
    CHECK_THAT(depth->farthest_m, WithinAbs(1.0, 1e-6));
    set.scene.items[0].kind = ItemKind::block;
    CHECK_FALSE(visibleProductDepth(set.scene, seen));
    CHECK_FALSE(sharpShare(set.scene, seen, {0.5, 2.0}));
}

TEST_CASE("the depth seen of a ball ends where the lens's tangents touch it, however coarse the look", "[law][sharp][meter]") {
    // Derived: from the origin the tangents of a ball of radius r at C touch it on a circle around C (1 - r^2/C^2)
    // with the radius r sqrt(1 - r^2/C^2), square to C. Along an axis at the angle a to C that reaches
    // C cos a (1 - r^2/C^2) + r sqrt(1 - r^2/C^2) sin a; a few pixels see nothing of the last millimetres.
    constexpr double kRadius_m = 0.05;
    const glm::dvec3 centre_m(0.07, -0.04, -0.9);
    Set set = seenSet(0.9);
    Mesh ball = sphereMesh(static_cast<float>(2.0 * kRadius_m));
    place(ball, Frame{}, glm::vec3(centre_m) - glm::vec3(0, static_cast<float>(kRadius_m), 0));
    set.item(ball, set.matt(0.5F), ItemKind::product);
    const Stage stage(set.scene);
    const double d_m = glm::length(centre_m);
    const double part = 1.0 - kRadius_m * kRadius_m / (d_m * d_m);
    const double off = std::hypot(centre_m.x, centre_m.y) / d_m;
    const double far_m = -centre_m.z * part + kRadius_m * std::sqrt(part) * off;
    for (const int width : {60, 240}) {
        const VisiblePicture seen = lookThroughLens(stage, width, width * 2 / 3);
        if (width == 60) CHECK(visibleProductDepth(set.scene, seen)->farthest_m < far_m - 1.5e-3);  // pixels alone
        const auto depth = visibleProductDepth(stage, seen);
        CHECK_THAT(depth->farthest_m, WithinAbs(far_m, 7e-4));  // half of a facet: chord errors of 1e-4 r
        CHECK_THAT(depth->nearest_m, WithinAbs(-centre_m.z - kRadius_m, 1e-5));
    }
}

TEST_CASE("corners of a product out of the frame or behind a card are not seen", "[sharp][meter]") {
    // A floor from 0.8 to 1.2 m, 2 cm wide, under a lens 10 cm above it. Its corners: by the thin lens both ends
    // are in the frame.
    Set set = seenSet(1.0, 0.05);
    set.item(sheet({0, -0.1F, -1}, {0, 1, 0}, {0.02F, 0.4F}), set.matt(0.5F), ItemKind::product);
    const auto depthOf = [&] {
        const Stage stage(set.scene);
        return *visibleProductDepth(stage, lookThroughLens(stage, 90, 600));
    };
    CHECK_THAT(depthOf().nearest_m, WithinAbs(0.8, 1e-6));
    CHECK_THAT(depthOf().farthest_m, WithinAbs(1.2, 1e-6));
    // A card at 0.5 m hides all that lies higher in the picture than 0.1/1.0: the farther half.
    set.item(sheet({0, -0.05F + 0.1F, -0.5F}, {0, 0, 1}, {0.4F, 0.2F}), set.matt(0.5F), ItemKind::board);
    CHECK_THAT(depthOf().farthest_m, WithinAbs(1.0, 0.02));
    // Focused nearer the frame shrinks; shifted down its upper edge passes where the slope is 0.1/0.9.
    set.scene.items.pop_back();
    const double v_m = imageOf_m(0.05, 1.0);
    set.scene.camera.shift_m.y = -0.012 - 0.1 / 0.9 * v_m;
    CHECK_THAT(depthOf().farthest_m, WithinAbs(0.9, 0.02));
}
