// One exposure from all light, motion and video through the whole program; a metadata program as a
// second opinion on exposure values and depth of field. Not here: formulas alone (tests/scene/photo_*).
#include "scene/motion.h"
#include "scene/photo.h"
#include "scene_law.h"

using namespace keyfall::test;
using namespace keyfall;
using Catch::Matchers::Contains;

namespace {

// A bare flash over black ground in a black room of 500 lx, and a small continuous lamp: both are spheres,
// so points to the meter. 4000 cd s and 500 cd at 2 m are 1000 lx s and 125 lx.
const char* const kMixed = R"(
[table]
shape = "none"
[backdrop]
shape = "none"
[room]
size = [600, 600]
height = 500
walls = 0.0
ceiling = 0.0
floor = 0.0
table_height = 200
illuminance = 500
[material.soot]
base = "diffuse"
reflectance = 0.0
[lamp.ball]
shape = "sphere"
size = [3]
surface = "soot"
t05 = "1/1000"
t05_lowest = "1/8000"
lowest_power = "1/64"
[camera]
at = [0, 0, 116.1]
look_at = [0, 0, 0]
aperture = 11
[picture]
width = 48
[[block]]
name = "card"
shape = "sheet"
size = [20, 20]
at = [0, -10, -1]
material = "soot"
[[light]]
name = "key"
kind = "flash"
lamp = "ball"
guide_number = 40
rated_with = "none"
at = [0, 0, 200]
aim = [0, 0, 0]
[[light]]
name = "spotlight"
kind = "continuous"
lamp = "ball"
lumens = 6283.185307
at = [0, 0, 200]
aim = [0, 0, 0]
on = false
[[probe]]
name = "label"
at = [0, 0, 0]
normal = [0, 0, 1]
receptor = 0
)";

Outcome ran(const std::string& command, const std::string& options = {}) {
    return runProgram(command + " set.toml " + options, folderWith("camera-law", kMixed));
}

nlohmann::json metered(const std::string& options = {}) {
    return reportOf("meter set.toml --samples 256 " + options, folderWith("camera-law", kMixed));
}

double labelOf(const nlohmann::json& report, const char* key) { return probeOf(report, "label").at(key).get<double>(); }

struct Shot {
    double focal_mm, aperture, distance_m;
};

/// What exiftool makes of files that hold these tags alone; one process, its start is what takes time.
nlohmann::json tagsOf(const std::vector<Shot>& shots) {
    const auto folder = freshFolder("exiftool");
    std::string line = "cd '" + folder.string() + "' && exiftool", files;
    for (const Shot& s : shots) {
        const std::string file = std::to_string(files.size()) + ".mie";
        files += " " + file;
        line += " -q -q -o " + file + " -FNumber=" + number(s.aperture) + " -ExposureTime=1/250 -ISO=400 -FocalLength=" + number(s.focal_mm) +
                " -FocalLengthIn35mmFormat=" + number(s.focal_mm) + " -SubjectDistance=" + number(s.distance_m) + " -execute";
    }
    REQUIRE(std::system((line + " -n -j -Composite:all" + files + " >out.json 2>out.txt").c_str()) == 0);
    return nlohmann::json::parse(textOf(folder / "out.json"));
}

}  // namespace

TEST_CASE("exiftool agrees on exposure value, hyperfocal distance, depth of field and field of view", "[law]") {
    // Debian's libimage-exiftool-perl 12.57; its hyperfocal distance leaves out the "+ f", and its circle of
    // confusion is the diagonal over 1440.
    const std::vector<Shot> shots = {{50, 8, 1}, {85, 11, 0.7}, {24, 5.6, 1.5}, {100, 16, 0.4}};
    const nlohmann::json all = tagsOf(shots);
    REQUIRE(all.size() == shots.size());
    const double coc_m = std::hypot(0.036, 0.024) / 1440.0;
    for (std::size_t i = 0; i < shots.size(); ++i) {
        const auto& [focal_mm, aperture, distance_m] = shots[i];
        const nlohmann::json& tags = all.at(i);
        INFO(tags.dump());
        CHECK(tags.at("CircleOfConfusion").get<double>() * 1e-3 == Approx(coc_m).epsilon(1e-9));
        CHECK(tags.at("LightValue").get<double>() == Approx(ev100(aperture, 1.0 / 250, 400.0)).epsilon(1e-9));
        CHECK(tags.at("HyperfocalDistance").get<double>() == Approx(hyperfocal_m(focal_mm * 1e-3, aperture, coc_m) - focal_mm * 1e-3).epsilon(1e-9));
        double near_m = 0.0, far_m = 0.0;
        REQUIRE(std::sscanf(tags.at("DOF").get<std::string>().c_str(), "%lf %lf", &near_m, &far_m) == 2);
        const DepthOfField depth = depthOfField(focal_mm * 1e-3, aperture, distance_m, coc_m);
        CHECK(depth.near_m == Approx(near_m).epsilon(1e-9));
        CHECK(depth.far_m == Approx(far_m).epsilon(1e-9));
        CHECK(tags.at("FOV").get<double>() == Approx(2.0 * std::atan(18.0 / focal_mm) * 180.0 / kPi).epsilon(2e-6));  // its pi is 3.14159
    }
}

TEST_CASE("engraved times and speeds to the ends of their dials", "[law]") {
    // Nominal series in thirds of a stop, from memory; exact t = 2^(-k/3) s, S = 100 2^(k/3).
    const double times[] = {1000, 1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000};
    for (int i = 0; i < 10; ++i) CHECK(engravedShutter(1.0 / times[i]).exact == Approx(std::exp2(-(30 + i) / 3.0)).epsilon(1e-12));
    const double speeds[] = {1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000, 10000, 12800, 16000, 20000, 25600};
    for (int i = 0; i < 13; ++i) CHECK(engravedIso(speeds[i]).exact == Approx(100.0 * std::exp2((12 + i) / 3.0)).epsilon(1e-12));
}

TEST_CASE("light on the sensor's axis is pi L T/(4 N^2 (1 + m)^2)", "[law]") {
    // ISO 12232's equation against the textbook's close-up form: i = F(1 + m).
    for (const double m : {0.0, 0.1, 0.5, 1.0}) {
        const double q = focalPlaneFactor_q(0.9, 1.0, 0.0);
        CHECK(focalPlaneExposure_lxs(1000, 8, 0.01, 0.1, 0.1 * (1.0 + m), q) ==
              Approx(kPi * 1000 * 0.9 * 0.01 / (4.0 * 64.0 * (1.0 + m) * (1.0 + m))).epsilon(1e-12));
        // Off the axis cos^4: at 20 degrees 0.78.
        CHECK(focalPlaneFactor_q(0.9, 1.0, 20.0 * kPi / 180.0) / q == Approx(std::pow(std::cos(20.0 * kPi / 180.0), 4.0)).epsilon(1e-12));
    }
    // K 12.5 and 14, both in use, are .163 stop apart (ISO 2720 allows 10.6 to 13.4).
    CHECK(2.0 * std::log2(apertureFromLuminance(40, 100, 12.5) / apertureFromLuminance(40, 100, 14.0)) == Approx(0.163).margin(5e-4));
}

TEST_CASE("ambient stands under the flash by log2(E t / H), and the shutter moves it alone", "[law]") {
    // H = 4000/4 = 1000 lx s (inverse square, exact for a sphere); E = 500 lx by the room's definition.
    const double under = std::log2(500.0 / 128.0 / 1000.0);
    const auto set = metered();
    CHECK(labelOf(set, "ambient_stops") == Approx(under).margin(0.03));
    CHECK(probeOf(set, "label").at("ambient_stops_interval95").at(0).get<double>() < labelOf(set, "ambient_stops"));
    const auto slow = metered("--set camera.shutter=1/4");
    CHECK(labelOf(slow, "ambient_stops") == Approx(under + 5.0).margin(0.03));
    const double flash_lxs = labelOf(set, "exposure_lx_s") - labelOf(set, "illuminance_lx") / 128.0;
    CHECK(labelOf(slow, "exposure_lx_s") - labelOf(slow, "illuminance_lx") / 4.0 == Approx(flash_lxs).epsilon(1e-9));
    // A continuous lamp is ambient to a flash, too: 500 cd at 2 m add 125 lx.
    const auto lamp = metered("--set light.spotlight.on=true");
    CHECK(labelOf(lamp, "ambient_stops") == Approx(std::log2(625.0 / 128.0 / 1000.0)).margin(0.03));
    // Without one of the two there is nothing to compare.
    CHECK_FALSE(probeOf(metered("--set room.illuminance=0"), "label").contains("ambient_stops"));
    CHECK_FALSE(probeOf(metered("--set light.key.on=false"), "label").contains("ambient_stops"));
}

TEST_CASE("--lights: the exposures of the parts add up to that of all", "[law]") {
    const std::string on = "--set light.spotlight.on=true ";
    const auto part = [&](const char* lights) { return labelOf(metered(on + "--lights " + lights), "exposure_lx_s"); };
    const double key = part("key"), lamp = part("spotlight");
    CHECK(key == Approx(1000.0).epsilon(2e-3));
    CHECK(lamp == Approx(125.0 / 128.0).epsilon(2e-3));
    // The frame with the flash off: the lamp as set, and the room.
    CHECK(part("ambient") == Approx((125.0 + 500.0) / 128.0).epsilon(0.02));
    CHECK(part("key,ambient") == Approx(labelOf(metered(on), "exposure_lx_s")).epsilon(1e-12));
    CHECK(part("key --lights spotlight") == Approx(key + lamp).epsilon(1e-9));
    // A name switches a light on, and ambient takes lamps as the scene has them.
    CHECK(labelOf(metered("--lights spotlight"), "exposure_lx_s") == Approx(lamp).epsilon(1e-9));
    CHECK(labelOf(metered("--lights ambient"), "exposure_lx_s") == Approx(500.0 / 128.0).epsilon(0.02));
}

TEST_CASE("--lights: the picture with the flash off is the one of a scene without it", "[law]") {
    const auto folder = folderWith("camera-law-picture", kMixed);
    REQUIRE(runProgram("render set.toml --samples 4 --quiet --out a.png --lights ambient", folder).exitCode == 0);
    REQUIRE(runProgram("render set.toml --samples 4 --quiet --out b.png --set light.key.on=false", folder).exitCode == 0);
    const bool same = textOf(folder / "a.png") == textOf(folder / "b.png");  // its bytes are no message
    CHECK(same);
}

TEST_CASE("--lights: a name that no light has is a mistake of the command line", "[law]") {
    const Outcome o = ran("meter", "--lights kee");
    CHECK(o.exitCode == 2);
    CHECK_THAT(o.err, Contains("no light \"kee\"") && Contains("allowed: key, spotlight, ambient") && Contains("did you mean \"key\"?"));
    CHECK(o.out.empty());
}

TEST_CASE("sync: what a faster shutter cuts off is told, where a flash is on", "[law]") {
    const auto cut = metered("--set camera.shutter=1/500");
    // From 1/200 to 1/500 four thirds of a stop: 2^(-4/3) of the frame's height is open at a time.
    CHECK(cut.at("flash").at("cut_share").get<double>() == Approx(1.0 - std::exp2(-4.0 / 3)).epsilon(1e-9));
    CHECK_THAT(warning(cut, "shutter-faster-than-sync"), Contains("60 %"));
    CHECK(warning(metered("--set camera.shutter=1/500 --lights ambient"), "shutter-faster-than-sync").empty());
    CHECK(metered().at("flash").at("cut_share") == 0.0);
}

TEST_CASE("motion: the flash freezes what the shutter would smear", "[law]") {
    // 85 mm at 116.1 cm magnifies by 85/1076. 1/8 power, half the way in stops to 1/64: t0.5 is the
    // geometric mean of 1/1000 and 1/8000 s.
    const double m = 85.0 / (1161.0 - 85.0);
    const auto frozen = metered("--set motion.speed=20 --set light.key.power=1/8 --set room.illuminance=0").at("motion");
    const double t05_s = 1.0 / std::sqrt(1000.0 * 8000.0);
    CHECK(frozen.at("effective_time") == "flash");
    CHECK(frozen.at("effective_time_s").get<double>() == Approx(t05_s).epsilon(1e-6));
    CHECK(frozen.at("blur_mm").get<double>() == Approx(m * 200.0 * t05_s).epsilon(1e-4));
    CHECK(frozen.at("blur_px").get<double>() == Approx(m * 200.0 * t05_s / 36.0 * 48.0).epsilon(1e-4));
    const auto smeared = metered("--set motion.speed=20 --lights ambient").at("motion");
    CHECK(smeared.at("effective_time") == "shutter");
    CHECK(smeared.at("blur_sensor_px").get<double>() == Approx(m * 200.0 / 128.0 / 36.0 * 6000.0).epsilon(1e-4));
    const auto unknown = metered("--set motion.speed=20 --set light.key.lamp=flash-bulb");
    CHECK(unknown.at("motion").at("blur_mm").is_null() == unknown.at("motion").at("effective_time_s").is_null());
}

TEST_CASE("the lines for people have what the report has", "[law]") {
    const Outcome o = ran("meter", "--samples 256 --set motion.speed=20 --set video.fps=24");
    CHECK_THAT(o.out, Contains("8.0 ± 0.00 under at label") && Contains("key lasts 1/1000 s at 1/1 (t0.5)"));
    CHECK_THAT(o.out, Contains("at 20 cm/s the subject smears over") && Contains("the ambient draws a ghost over"));
    CHECK_THAT(o.out, Contains("24 fps, 180 degrees: 1/48 s a frame; 6.6 ± 0.00 stops under the still at label"));
    CHECK_THAT(o.out, Contains("key and ambient: 68 mired apart, SSI") && !Contains("matches it to the room's light"));  // 0.4 % of it
    CHECK_THAT(o.out, Contains("picture balanced for 5500 K"));
}

TEST_CASE("shake: a slow shutter by hand is a warning, on a tripod advice", "[law]") {
    const std::string slow = "--lights ambient --set camera.shutter=1/15 ";
    const auto hand = metered(slow + "--set camera.support=hand");
    CHECK_THAT(warning(hand, "handheld-too-slow"), Contains("1/85 s") && Contains("ISO 640"));  // 85/16 of 100
    const auto tripod = metered(slow);
    CHECK(warning(tripod, "handheld-too-slow").empty());
    CHECK(tripod.at("motion").at("remote_release") == true);
    CHECK(warning(metered("--set camera.shutter=1/15 --set camera.support=hand"), "handheld-too-slow").empty());  // the flash freezes
    // Mixed light: 1000 lx*s of flash and 500 lx for 2 s; at 1/85 s 1006 are left of 2000, one stop less.
    const auto mixed = metered("--set camera.shutter=2 --set camera.support=hand");
    CHECK_THAT(warning(mixed, "handheld-too-slow"), Contains("or ISO 200"));
    const double as_set = labelOf(metered("--set camera.shutter=2"), "picture_stops_over");
    CHECK(labelOf(metered("--set 'camera.shutter=\"1/85\"' --set camera.iso=200"), "picture_stops_over") == Approx(as_set).margin(0.05));
    // 32 s at ISO 100 would be ISO 270 000 at 1/85 s.
    const auto dark = metered("--lights ambient --set camera.shutter=30 --set camera.support=hand");
    CHECK_THAT(warning(dark, "handheld-too-slow"), Contains("no ISO up to 102400"));
}

TEST_CASE("video: stops from the still, and what flickers", "[law]") {
    // The still: 1000 lx s and 500 lx for 1/128 s; a frame of 25 fps at 180 degrees: 500 lx for 1/50 s.
    const auto video = metered("--set video.fps=25").at("video");
    CHECK(video.at("exposure_s").get<double>() == Approx(0.02));
    CHECK(video.at("flicker_safe") == true);
    CHECK(video.at("stops_from_still").get<double>() == Approx(std::log2(10.0 / (1000.0 + 500.0 / 128.0))).margin(0.03));
    const auto same = metered("--set video.fps=25 --lights ambient").at("video");
    CHECK(same.at("stops_from_still").get<double>() == Approx(std::log2(128.0 / 50.0)).margin(1e-6));
    CHECK(same.at("same_look").at("iso") == 40.0);
    const auto film = metered("--set video.fps=24");
    CHECK(film.at("video").at("safe_angle_deg").get<double>() == Approx(172.8));
    CHECK_THAT(warning(film, "flicker"), Contains("172.8 degrees"));
    const auto dark = metered("--set video.fps=24 --lights key");
    CHECK(dark.at("video").at("stops_from_still").is_null());
    CHECK_THAT(warning(dark, "video-without-light"), Contains("flash"));
    CHECK(warning(dark, "flicker").empty());
}
