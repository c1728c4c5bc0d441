// [camera] and [picture], and the camera that a short scene gets.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/photo.h"
#include "scene/placement.h"
#include "scene/read_draft.h"

namespace keyfall {

namespace {

constexpr double kUsualCircle = 1442.0;          // contract: the diagonal over this
constexpr double kFallbackElevation_deg = 10.0;  // a little from above, as one sits at a table
constexpr double kFallbackDistance_m = 1.2;      // without any product or block
constexpr double kFilledShare = 0.5;             // of the picture's height or width

/// Places the camera in front of the subject, 10 degrees above it, so that the subject's box fills
/// half of the picture's height or width, whichever is met first. Thin lens: an object of size h at
/// distance s has an image of h f / (s - f), so s = f (1 + h / image).
glm::vec3 framingPlace(const Draft& draft, const Fields& fields, glm::vec3 lookAt_m) {
    const double elevation = glm::radians(kFallbackElevation_deg);
    const auto box = subjectBox(draft);
    double distance_m = kFallbackDistance_m;
    if (box) {
        const glm::dvec3 size(box->size());
        const double focal_m = fields.number("focal_length") * kMetresPerMm;
        const glm::dvec2 image_m = fields.pair("sensor") * kMetresPerMm * kFilledShare;
        const double tall_m = size.y * std::cos(elevation) + size.z * std::sin(elevation);
        const double reduction = std::max(tall_m / image_m.y, size.x / image_m.x);
        distance_m = focal_m * (1.0 + reduction) + 0.5 * size.z;
    }
    return placeAround(lookAt_m, 0.0, elevation, distance_m);
}

/// Where the camera stands and what it looks at.
struct Stand {
    glm::vec3 lens_m{0.0F};
    glm::vec3 lookAt_m{0.0F};
};

std::optional<Stand> standOf(Draft& draft, Object& camera) {
    const Fields& fields = camera.fields;
    const bool placed = fields.given("at") || fields.given("around");
    std::optional<glm::vec3> lookAt = subjectMiddle(draft);
    if (fields.given("look_at")) lookAt = resolveTarget(draft, fields, "look_at");
    if (!lookAt) return {};
    const auto place = placeByFile(draft, camera, framingPlace(draft, fields, *lookAt));
    if (!place) return {};
    if (!fields.given("look_at")) {
        if (camera.aroundPoint_m) lookAt = camera.aroundPoint_m;
        fields.recordDefault("look_at", shownCm(*lookAt));
    }
    if (!placed) fields.recordDefault("at", shownCm(*place));
    return Stand{*place, *lookAt};
}

/// Reports a camera that looks at its own place. Otherwise sets lens and frame.
bool turnCamera(Draft& draft, const Object& object, const Stand& where) {
    Camera& camera = draft.scene.camera;
    const glm::vec3 way = where.lookAt_m - where.lens_m;
    if (glm::length(way) < 1e-6F) {
        object.fields.error("look_at",
                            {"is the camera's own place", "needed: a point elsewhere", {}});
        return false;
    }
    camera.lens_m = where.lens_m;
    camera.frame = cameraFrame(glm::normalize(way), glm::radians(object.fields.number("roll")));
    draft.lookAt_m = where.lookAt_m;
    return true;
}

void readFocus(Draft& draft, const Fields& fields) {
    Camera& camera = draft.scene.camera;
    std::optional<glm::vec3> point = draft.lookAt_m;
    if (fields.given("focus"))
        point = resolveTarget(draft, fields, "focus");
    else
        fields.recordDefault("focus", "look_at");
    if (!point) return;
    camera.focusDistance_m = static_cast<double>(glm::dot(*point - camera.lens_m, camera.frame.z));
    if (camera.focusDistance_m > camera.focalLength_m) return;
    const bool behind = camera.focusDistance_m < 0.0;
    fields.error("focus", {fmt::format("lies {:.1f} cm {}", std::abs(camera.focusDistance_m) / kMetresPerCm,
                                       behind ? "behind the camera" : "in front of the lens"),
                           fmt::format("allowed: more than the focal length ({:g} mm) in front of the lens",
                                       camera.focalLength_m / kMetresPerMm),
                           behind ? "move the focus to the product" : "move the focus away or the camera back"});
}

void readLens(Draft& draft, const Fields& fields) {
    Camera& camera = draft.scene.camera;
    camera.focalLength_m = fields.number("focal_length") * kMetresPerMm;
    camera.sensor_m = fields.pair("sensor") * kMetresPerMm;
    camera.shift_m = fields.pair("shift") * kMetresPerMm;
    camera.pupilRatio = fields.number("pupil_ratio");
    const double diagonal_mm = glm::length(fields.pair("sensor"));
    camera.circleOfConfusion_m = fields.number("circle_of_confusion") * kMetresPerMm;
    if (!fields.sound("circle_of_confusion")) {
        camera.circleOfConfusion_m = diagonal_mm / kUsualCircle * kMetresPerMm;
        if (!fields.given("circle_of_confusion"))
            fields.recordDefault("circle_of_confusion",
                                 fmt::format("{:.4f}", diagonal_mm / kUsualCircle));
    }
}

void readExposure(Draft& draft, const Fields& fields) {
    Camera& camera = draft.scene.camera;
    camera.aperture = engravedAperture(fields.number("aperture"));
    camera.shutter_s = engravedShutter(fields.seconds("shutter"));
    camera.iso = engravedIso(fields.number("iso"));
    camera.flashSync_s = engravedShutter(fields.seconds("flash_sync")).exact;
    camera.support = fields.text("support") == "hand" ? Support::hand : Support::tripod;
    camera.calibration_stops = fields.number("calibration");
    camera.closeUpCompensated = fields.text("close_up") == "compensated";
}

/// As many pixels along the longer side, square ones: portrait sensors have them the other way round.
SensorModel genericSensor(const Draft& draft) {
    SensorModel sensor = draft.library.sensor;
    const glm::dvec2 size = draft.scene.camera.sensor_m;
    const int most = std::max(sensor.pixels.x, sensor.pixels.y);
    const auto along = [&](double side_m) {
        return std::max(1, static_cast<int>(std::lround(most * side_m / std::max(size.x, size.y))));
    };
    sensor.pixels = {along(size.x), along(size.y)};
    return sensor;
}

/// One pixel size stands for both directions, as an area and as a pitch.
void requireSquarePixels(const Draft& draft, const Fields& fields) {
    constexpr double kOff = 1.03;  // sensors and pixels are stated rounded
    const glm::dvec2 size_m = draft.scene.camera.sensor_m;
    const glm::dvec2 pitch_um = 1e6 * size_m / glm::dvec2(draft.scene.camera.electronics.pixels);
    if (std::max(pitch_um.x, pitch_um.y) <= kOff * std::min(pitch_um.x, pitch_um.y)) return;
    const int columns = draft.scene.camera.electronics.pixels.x;
    fields.error("pixels", {fmt::format("makes pixels of {:.2f} by {:.2f} µm", pitch_um.x, pitch_um.y),
                            "allowed: square ones, within 3 %",
                            fmt::format("for example [{}, {:.0f}]", columns, std::max(1.0, std::round(columns * size_m.y / size_m.x)))});
}

void readSensor(Draft& draft, const Fields& fields) {
    SensorModel& sensor = draft.scene.camera.electronics;
    sensor = genericSensor(draft);
    const auto orDefault = [&fields](std::string_view key, double& value) {
        if (fields.sound(key)) value = fields.number(key);
        else fields.recordDefault(key, fmt::format("{:g}", value));
    };
    if (fields.sound("pixels")) {
        const glm::dvec2 pixels = fields.pair("pixels");
        sensor.pixels = glm::ivec2(pixels);
        if (glm::dvec2(sensor.pixels) != pixels)
            fields.error("pixels", {fmt::format("is [{}, {}]", pixels.x, pixels.y),
                                    "allowed: whole numbers",
                                    {}});
        else if (fields.sound("sensor") || !fields.given("sensor"))
            requireSquarePixels(draft, fields);
    } else {
        fields.recordDefault("pixels", fmt::format("[{}, {}]", sensor.pixels.x, sensor.pixels.y));
    }
    orDefault("full_well", sensor.fullWell_e);
    orDefault("read_noise", sensor.readNoise_e);
    orDefault("quantum_efficiency", sensor.quantumEfficiency);
    orDefault("base_iso", sensor.baseIso);
}

void readPicture(Draft& draft) {
    constexpr int kTallest_px = 32768;
    const Fields& fields = draft.section("picture");
    Picture& picture = draft.scene.picture;
    const glm::dvec2 sensor = draft.scene.camera.sensor_m;
    picture.width_px = static_cast<int>(fields.number("width"));
    picture.height_px =
        std::max(1, static_cast<int>(std::lround(picture.width_px * sensor.y / sensor.x)));
    picture.view = fields.text("view") == "soft" ? View::soft : View::straight;
    if (picture.height_px > kTallest_px)
        fields.error("width", {fmt::format("makes a picture {} pixels high", picture.height_px),
                               fmt::format("allowed: up to {}", kTallest_px),
                               {}});
}

}  // namespace

void readCamera(Draft& draft) {
    Object& object = *draft.find("camera");
    const Fields& fields = object.fields;
    draft.scene.hasCamera = draft.options.needsCamera || draft.wrote("camera");
    readLens(draft, fields);
    readExposure(draft, fields);
    readSensor(draft, fields);
    readPicture(draft);
    const auto where = standOf(draft, object);
    if (where && turnCamera(draft, object, *where)) readFocus(draft, fields);
}

void readWhiteBalance(Draft& draft) {
    const Fields& fields = draft.find("camera")->fields;
    const Value* value = fields.value("white_balance");
    if (value == nullptr || fields.bad("white_balance")) return;
    auto& white = draft.scene.camera.whiteBalance;
    if (value->isNumber()) {
        white = value->number;
        return;
    }
    if (value->text == "auto") {
        white = Camera::Auto{};
        return;
    }
    std::vector<std::string> names{"auto"};
    for (std::size_t i = 0; i < draft.scene.lights.size(); ++i) {
        names.push_back(draft.scene.lights[i].name);
        if (names.back() == value->text) {
            white = i;
            return;
        }
    }
    if (namedObject(draft, fields, "white_balance", "light") == nullptr) return;
    // The light has a mistake of its own, reported there.
}

}  // namespace keyfall
