// The Scene: what is on the set, as plain data in SI and photometric units. A scene file becomes
// this once (read_scene.h); nothing after it sees centimetres, degrees or stops of power.
#pragma once

#include <cstdint>
#include <filesystem>
#include <glm/glm.hpp>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "scene/fine_spectrum.h"
#include "scene/frame.h"
#include "scene/lamp_shape.h"
#include "scene/material.h"
#include "scene/mesh.h"
#include "scene/modifier_body.h"
#include "scene/photometric_web.h"
#include "scene/sensor.h"

namespace keyfall {

/// What one set holds at most; the reader refuses more. Each light is a layer of 80 bytes a pixel; a
/// path keeps one bit of 64 for each board that it touched.
inline constexpr std::size_t kMostLights = 48;
inline constexpr std::size_t kMostBoards = 64;

/// Numbers as engraved and as exact (README, "Numbers"): f/11 is 11.314, 1/125 is 1/128 s.
struct Engraved {
    double asWritten = 0.0;
    double exact = 0.0;
};

enum class Support { tripod, hand };

/// What `settings` and `place` may use. Exact values, ends included.
struct Limits {
    std::optional<glm::dvec2> aperture, shutter_s, iso;
    enum class Prefer { depth, grain, blur, ambient };
    std::vector<Prefer> prefer;        ///< first matters most; empty: depth, blur, grain, ambient
};

/// `[video]`, as the file says.
struct Video {
    double fps = 25.0;
    double shutterAngle_deg = 180.0;
    double mains_Hz = 50.0;
};

/// A line across a shadow edge, as `[[edge]]` has it; on whatever surface it lies.
struct EdgeLine {
    std::string name;
    glm::vec3 from_m{0.0F};
    glm::vec3 to_m{0.0F};
};

/// The same set with changes. They are made by reading the file anew with ReadOptions::variant.
struct Variant {
    std::string name;
    std::string caption;
    std::vector<std::string> keys;  ///< paths of the keys that it changes: "light.key.modifier"
    std::vector<std::string> values;   ///< what it sets them to, as people read it: softbox-60x60
    std::vector<std::string> written;  ///< what they are without it (in the scene read without a variant)
};

/// How variants are brought to equal exposure.
struct Compare {
    enum class By { power, iso, shutter, aperture, none };
    enum class Lamps { changed, all, named };
    std::string equalAt;             ///< a probe's name; empty: the first incident one
    By by = By::power;
    Lamps lamps = Lamps::changed;
    std::vector<std::string> named;  ///< of Lamps::named
};

struct Camera {
    glm::vec3 lens_m{0.0F};           ///< lens centre
    Frame frame;                      ///< z: viewing direction, x: right in the picture, y: up
    double focalLength_m = 0.085;
    glm::dvec2 sensor_m{0.036, 0.024};
    glm::dvec2 shift_m{0.0};          ///< + = right, up
    Engraved aperture{11, 11.3137};
    Engraved shutter_s{1.0 / 125, 1.0 / 128};
    Engraved iso{100, 100};
    double focusDistance_m = 1.0;     ///< from the lens centre along the axis to the sharp plane
    double flashSync_s = 1.0 / 200;
    Support support = Support::tripod;
    double pupilRatio = 1.0;
    double calibration_stops = 0.0;
    bool closeUpCompensated = false;  ///< camera.close_up = "compensated": m = 0 for exposure
    double circleOfConfusion_m = 0.00003;
    /// kelvin, a light's index in Scene::lights, or automatic.
    struct Auto {};
    std::variant<double, std::size_t, Auto> whiteBalance = 5500.0;
    SensorModel electronics;
};

enum class View { straight, soft };

struct Picture {
    int width_px = 960;
    int height_px = 640;
    View view = View::straight;
};

enum class ItemKind { table, backdrop, room, product, block, board, scrim, flag, modifier };
const char* nameOf(ItemKind kind);

/// Anything on the set that is a surface and no lamp, already placed: metres, world axes.
struct Item {
    std::string name;
    ItemKind kind = ItemKind::product;
    Mesh mesh;
    std::vector<std::size_t> materials;  ///< into Scene::materials, one per Mesh slot
    glm::vec3 at_m{0.0F};                ///< the place its `at` speaks of
    Frame frame;                         ///< boards, flags, scrims: z is the lit face's normal
    glm::vec2 size_m{0.0F};              ///< boards, flags, scrims: width, height
    std::size_t light = 0;               ///< modifiers: the light that wears it
    bool outside = false;                ///< modifiers: stands in front of the exit, as barn doors do
    std::string caption;
};

enum class LightKind { flash, continuous };

/// What a maker or a meter says of a lamp in a modifier. The lamp's flux follows once it is known how
/// much of it the modifier sends there (renderer/meter/strength.h).
struct Rating {
    std::shared_ptr<const ModifierBody> body;  ///< what the lamp had on; its frame is that of an aim
    LampShape shape;                           ///< the lamp, in any place: the body has its own
    /// cd or cd*s on the axis far away (guide number), else lx or lx*s at `distance_m` from the exit
    /// on the axis; of the lamp at full power.
    bool isIntensity = false;
    double value = 0.0;
    double distance_m = 1.0;
    BandXYZ bands;           ///< of the lamp without gels: a figure is said of the lamp without them
    double gelFactor = 1.0;  ///< share of the solved flux that the light's gels let pass
};

/// A lamp, bare or in a modifier. A light that is off, or at power 0, stays as a body.
struct Light {
    std::string name;
    LightKind kind = LightKind::continuous;
    bool on = true;
    LampShape shape;
    /// What leaves the bare lamp at full power: lm (continuous) or lm*s (flash). NaN as long as a
    /// `rating` has not been solved.
    double fullFlux = 0.0;
    std::optional<Rating> rating;
    /// A measured lamp: the shape's luminance depends on direction (photometric_web.h).
    std::shared_ptr<const PhotometricWeb> web;
    double power_stops = 0.0;           ///< 0 = full; -infinity: power 0
    std::string powerText = "1/1";      ///< canonical notation for reports
    FineSpectrum spectrum;              ///< relative
    BandXYZ bands;                      ///< of `spectrum`, per unit flux
    double colourTemperature_K = 0.0;   ///< as given, or the correlated one of a spectrum
    std::size_t bodyMaterial = 0;       ///< into Scene::materials
    std::string lamp;                          ///< as the library or the file names it; "": a measured one
    std::string modifier = "none";
    std::shared_ptr<const ModifierBody> body;  ///< empty: bare. Its parts are items of the scene, too
    glm::vec3 exit_m{0.0F};                    ///< the middle of the exit; bare: the lamp's centre
    Frame axes;                                ///< the modifier's frame in the world; z is the aim
    std::vector<std::string> gels;             ///< already in `spectrum` and `fullFlux`
    double exitDistance_m = 0.0;        ///< from the exit to the aim point, for reports
    double lampDistance_m = 0.0;
    bool fluxUncertain = false;         ///< flux from W or W*s alone
    std::optional<double> lowestPower_stops;
    std::optional<double> powerStep_stops;
    std::optional<double> t05_s;         ///< flash duration at full power
    std::optional<double> t05Lowest_s;   ///< and at the lowest
    std::string caption;

    /// Factor on the full flux as set: on, and 2^power_stops.
    double strength() const;
    /// lm or lm*s leaving the lamp as set.
    double fluxAsSet() const { return fullFlux * strength(); }
};

/// The closed box around the set. Its walls are an Item of kind room; the ambient is here.
struct Room {
    double ambientIlluminance_lx = 0.0;  ///< flat meter under an open half-space
    double ambientTemperature_K = 4000.0;
    BandXYZ ambientBands;
};

enum class ProbeKind { incident, dome, spot };

struct Probe {
    std::string name;
    ProbeKind kind = ProbeKind::incident;
    glm::vec3 at_m{0.0F};
    glm::vec3 facing{0, 0, 1};       ///< unit; the receptor's normal (incident, dome)
    double receptorRadius_m = 0.01;  ///< 0: a point
    double spotAngle_rad = 0.0;      ///< full angle, from the lens
    bool onSurface = false;          ///< spot or incident put on a product's first surface
    std::string onSurfaceItem;
};

/// A remark for the report: a stable code and a sentence for people.
struct Warning {
    std::string code;
    std::string text;
};

/// A default that the file left out and the reader filled in: "camera.aperture", "11".
struct FilledDefault {
    std::string key;
    std::string value;
};

struct Scene {
    std::filesystem::path file;
    std::string title;
    bool hasCamera = true;             ///< `meter` works without one
    Camera camera;
    Picture picture;
    std::optional<Room> room;
    std::vector<Material> materials;
    std::vector<Item> items;
    std::vector<Light> lights;
    std::vector<Probe> probes;
    Limits limits;
    std::optional<double> motion_mps;  ///< speed of the subject across the picture
    std::optional<Video> video;
    std::vector<EdgeLine> edges;       ///< none: the program finds each light's main cast shadow
    std::vector<Variant> variants;     ///< all of the file, also when one of them is read
    Compare compare;
    bool probesAreDefault = false;     ///< front, lit-side, shadow-side, background
    std::vector<Warning> warnings;
    std::vector<FilledDefault> defaults;
};

}  // namespace keyfall
